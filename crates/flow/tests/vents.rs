//! What the network says of a vent is what comes up through the slab.

use fittings::StubOf;

/// Half of a 2 in drain, but no less than 1-1/4 in, is what the rules ask of the demo's vents (half of 3 in: 1-1/2). No bends
/// of 1-1/4 in are made, so 1-1/2 in is bought; and the network, the pipes and the stub all say so.
#[test]
fn a_dry_vent_has_one_size_everywhere() {
    let outcome = flow::run(&flow::Inputs {
        text: include_str!("../../../scenes/demo.ron").into(),
        name: "demo.ron".into(),
        ..flow::Inputs::default()
    });
    assert_eq!(outcome.network.vents.len(), 4);
    for vent in &outcome.network.vents {
        assert_eq!(vent.size, units::Size::In1_5);
        let of = StubOf::Vent(vent.fixture);
        let stub = outcome.assembly.stubs.iter().find(|stub| stub.of == of);
        assert_eq!(stub.and_then(|stub| stub.size), Some(vent.size));
        let chain = outcome.assembly.closures.iter().find(|c| c.of == of);
        let piece = chain.map(|chain| outcome.assembly.pieces[chain.piece].size);
        assert_eq!(piece, Some(vent.size));
    }
}
