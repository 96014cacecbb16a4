//! The glued pieces as bodies: pipe from stop to stop, each fitting with its hubs, legs and sweeps where it really stands.
//!
//! The pipes of one name and size are one body, so that a run stays one thing to look at and to judge; each fitting is a
//! body of its own. Bodies are joined where their pieces are glued, and nowhere else.

use catalog::{Body as Local, Catalog, Part as Bought, Pattern};
use glam::DVec3;
use layout::Layout;
use network::{Network, Start};
use std::collections::{BTreeMap, BTreeSet};
use units::{Id, SAME_LENGTH, Size};

use crate::{Assembly, Body, Flow, Part, Piece, Tube, What, sweep};

/// Bodies of pieces.
pub(crate) struct Solids {
    /// Of each name the upstream ones first, names in the order their pieces are glued.
    pub(crate) bodies: Vec<Body>,
    /// The body of each piece; of a piece without length, that of what it is glued into.
    pub(crate) of_piece: Vec<Option<usize>>,
}

/// What a piece is in the house.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
enum Role {
    /// Pipe of a run or of the line outside.
    Run,
    /// Pipe and couplings through the slab, and all pipe of a vent.
    Riser,
    /// Pipe, coupling, adapter and plug of a cleanout.
    Cleanout,
    /// A fitting by itself.
    Fitting,
}

/// The bodies of every piece. `roots` are the pipes through the walls.
pub(crate) fn solids(
    network: &Network,
    layout: &Layout,
    catalog: &Catalog,
    assembly: &Assembly,
    roots: &[Root],
) -> Solids {
    let mut builder = Builder {
        catalog,
        cleanouts: layout.cleanouts.iter().map(|c| &c.id).collect(),
        trapped: trapped(network, layout),
        local: BTreeMap::new(),
        places: BTreeMap::new(),
        tubes: Vec::new(),
        out: Solids {
            bodies: Vec::new(),
            of_piece: vec![None; assembly.pieces.len()],
        },
    };
    let mut into: Vec<Option<usize>> = vec![None; assembly.pieces.len()];
    for joint in &assembly.joints {
        into[joint.far.0] = Some(joint.near.0);
    }
    for (p, piece) in assembly.pieces.iter().enumerate() {
        builder.piece(p, piece, into[p]);
    }
    builder.beyond_the_wall(assembly, roots);
    builder.join(assembly);
    let mut out = builder.out;
    upstream_first(&mut out);
    out
}

/// The line outside begins so far off the wall's face, inches: a hair, so that no rounding leaves it under the slab.
const OFF_THE_SLAB: f64 = 1e-7;
/// Pipes in line and nearer than this are one to look at: a coupling's stop parts them.
const COUPLED: f64 = 0.5;

/// A drain's pipe through the wall.
pub(crate) struct Root {
    /// Its piece.
    pub(crate) piece: usize,
    /// The drain.
    pub(crate) drain: Id,
    /// Inches of it outside the wall.
    pub(crate) outside: f64,
}

/// The fixture whose trap stands at a run's upstream end under the slab, by the run's name.
fn trapped<'a>(network: &'a Network, layout: &'a Layout) -> BTreeMap<&'a Id, &'a Id> {
    let runs = network.trees.iter().flat_map(|tree| &tree.runs);
    let of = |run: &'a network::Run| match run.start {
        Start::Fixture(f) => Some((&run.id, &layout.fixtures[f].id)),
        Start::Cleanout(_) | Start::Bare => None,
    };
    runs.filter_map(of).collect()
}

struct Builder<'a> {
    catalog: &'a Catalog,
    cleanouts: BTreeSet<&'a Id>,
    trapped: BTreeMap<&'a Id, &'a Id>,
    /// Tubes of each part in its own frame.
    local: BTreeMap<Bought, Vec<Tube>>,
    /// The body of each name, role, use and size, but of fittings.
    places: BTreeMap<(&'a Id, Role, Flow, Size), usize>,
    /// Of the piece in hand; kept for its room.
    tubes: Vec<Tube>,
    out: Solids,
}

impl<'a> Builder<'a> {
    /// A bushing disappears in the hub it fills, and is one with it.
    fn piece(&mut self, p: usize, piece: &'a Piece, into: Option<usize>) {
        let mut tubes = std::mem::take(&mut self.tubes);
        self.put_tubes(piece, &mut tubes);
        if !tubes.is_empty() {
            let body = self.body_of(piece, into);
            self.out.of_piece[p] = Some(body);
            self.out.bodies[body].tubes.append(&mut tubes);
        }
        self.tubes = tubes;
    }

    fn body_of(&mut self, piece: &'a Piece, into: Option<usize>) -> usize {
        let fills = piece
            .part()
            .filter(|part| part.pattern == Pattern::FlushBushing);
        let hub = fills.and(into).and_then(|near| self.out.of_piece[near]);
        hub.unwrap_or_else(|| {
            let role = self.role(piece);
            self.body(piece, role)
        })
    }

    fn role(&self, piece: &Piece) -> Role {
        let pipe = matches!(piece.what, What::Pipe(_));
        if self.cleanouts.contains(&piece.id) && (pipe || piece.riser) {
            return Role::Cleanout;
        }
        match (pipe, piece.riser, piece.flow) {
            (_, true, _) | (true, false, Flow::Vent) => Role::Riser,
            (true, false, _) => Role::Run,
            (false, false, _) => Role::Fitting,
        }
    }

    fn body(&mut self, piece: &'a Piece, role: Role) -> usize {
        if role == Role::Fitting {
            return self.new_body(piece, role);
        }
        let key = (&piece.id, role, piece.flow, piece.size);
        if let Some(&there) = self.places.get(&key) {
            return there;
        }
        let body = self.new_body(piece, role);
        self.places.insert(key, body);
        body
    }

    fn new_body(&mut self, piece: &Piece, role: Role) -> usize {
        let trap = piece
            .part()
            .is_some_and(|part| part.pattern == Pattern::PTrap);
        let part = match role {
            Role::Run => Part::Pipe,
            Role::Riser => Part::Riser,
            Role::Cleanout => Part::Cleanout,
            Role::Fitting if trap => Part::Trap,
            Role::Fitting => Part::Fitting,
        };
        let id = trap.then(|| self.trapped.get(&piece.id)).flatten();
        self.out.bodies.push(Body {
            id: id.map_or_else(|| piece.id.clone(), |id| (*id).clone()),
            part,
            flow: piece.flow,
            size: piece.size,
            tubes: Vec::new(),
            joined: Vec::new(),
        });
        self.out.bodies.len() - 1
    }

    fn put_tubes(&mut self, piece: &Piece, tubes: &mut Vec<Tube>) {
        let catalog = self.catalog;
        match &piece.what {
            What::Pipe(cut) => tubes.extend(pipe(piece, cut.value, catalog)),
            What::Fitting(part) => {
                let local = self.local.entry(*part);
                let local = local.or_insert_with(|| self::local(catalog, *part));
                tubes.extend(placed(piece, local));
            }
        }
    }

    /// What of the pipe through the wall stands outside belongs to the line outside, where there is one.
    fn beyond_the_wall(&mut self, assembly: &Assembly, roots: &'a [Root]) {
        for root in roots {
            let size = assembly.pieces[root.piece].size;
            let key = (&root.drain, Role::Run, Flow::Drain, size);
            let line = self.places.get(&key);
            let (Some(&line), Some(trunk)) = (line, self.out.of_piece[root.piece]) else {
                continue;
            };
            let Some(tube) = self.out.bodies[trunk].tubes.first_mut() else {
                continue;
            };
            let length = tube.a.distance(tube.b);
            let outside = (root.outside - OFF_THE_SLAB).min(length / 2.0);
            let wall = tube.b.lerp(tube.a, outside / length);
            let out = Tube {
                a: wall,
                b: tube.b,
                radius: tube.radius,
            };
            tube.b = wall;
            self.out.bodies[line].tubes.insert(0, out);
            self.link(trunk, line);
        }
    }

    fn join(&mut self, assembly: &Assembly) {
        for joint in &assembly.joints {
            let near = self.out.of_piece[joint.near.0];
            let far = &mut self.out.of_piece[joint.far.0];
            *far = far.or(near);
            if let Some((near, far)) = near.zip(*far) {
                self.link(near, far);
            }
        }
    }

    fn link(&mut self, a: usize, b: usize) {
        link(&mut self.out.bodies, a, b);
    }
}

/// Tells two bodies of a joint they share.
pub(crate) fn link(bodies: &mut [Body], a: usize, b: usize) {
    // A trunk is joined to hundreds: the shorter list is looked through.
    let (few, other) = if bodies[a].joined.len() <= bodies[b].joined.len() {
        (a, b)
    } else {
        (b, a)
    };
    if a != b && !bodies[few].joined.contains(&other) {
        bodies[a].joined.push(b);
        bodies[b].joined.push(a);
    }
}

/// One glued piece by itself, as it stands in the house: the tubes that its body is made of. Empty for a piece without any
/// length of its own.
pub fn piece_tubes(piece: &Piece, catalog: &Catalog) -> Vec<Tube> {
    match &piece.what {
        What::Pipe(cut) => pipe(piece, cut.value, catalog).into_iter().collect(),
        What::Fitting(part) => placed(piece, &local(catalog, *part)).collect(),
    }
}

/// A cut of pipe, from its upstream stop.
fn pipe(piece: &Piece, cut: f64, catalog: &Catalog) -> Option<Tube> {
    let tube = Tube {
        a: piece.frame.at - piece.frame.x * cut,
        b: piece.frame.at,
        radius: catalog.pipe(piece.size).od / 2.0,
    };
    (cut > SAME_LENGTH).then_some(tube)
}

/// A fitting's own tubes where the fitting stands.
fn placed(piece: &Piece, local: &[Tube]) -> impl Iterator<Item = Tube> {
    let at = move |p: DVec3| piece.frame.at + piece.frame.turned(p.to_array());
    let turned = move |tube: &Tube| Tube {
        a: at(tube.a),
        b: at(tube.b),
        radius: tube.radius,
    };
    local.iter().map(turned)
}

/// A fitting's tubes in its own frame, each from its upstream end.
fn local(catalog: &Catalog, part: Bought) -> Vec<Tube> {
    let Some(fitting) = catalog.get(part.pattern, part.sizes) else {
        return Vec::new();
    };
    let tip = fitting
        .ends
        .first()
        .map_or(0.0, |outlet| outlet.reach() + 1.0);
    let outlet = DVec3::X * tip;
    let downstream = |tube: Tube| {
        if tube.a.distance(outlet) < tube.b.distance(outlet) {
            Tube {
                a: tube.b,
                b: tube.a,
                ..tube
            }
        } else {
            tube
        }
    };
    let of = |body: Local| match body {
        Local::Tube { from, to, radius } => {
            let (a, b) = (DVec3::from_array(from), DVec3::from_array(to));
            let tube = Tube { a, b, radius };
            Vec::from_iter((a.distance(b) > SAME_LENGTH).then_some(tube))
        }
        Local::Sweep {
            from,
            corner,
            to,
            centreline,
            radius,
        } => {
            let corners = [from, corner, to].map(DVec3::from_array);
            sweep::bend(corners, centreline, radius)
        }
    };
    fitting
        .bodies()
        .into_iter()
        .flat_map(of)
        .map(downstream)
        .collect()
}

/// Turns the order of glueing, which begins at the exit, into that of the water: names stay, each name's bodies and the
/// tubes of its pipes are turned round. What runs on from the wall is in the water's order already.
fn upstream_first(out: &mut Solids) {
    let mut firsts: BTreeMap<&Id, usize> = BTreeMap::new();
    let bodies = out.bodies.iter().enumerate();
    let rank: Vec<usize> = bodies
        .map(|(b, body)| *firsts.entry(&body.id).or_insert(b))
        .collect();
    let mut order: Vec<usize> = (0..out.bodies.len()).collect();
    order.sort_by_key(|b| (rank[*b], std::cmp::Reverse(*b)));
    let mut now = vec![0; order.len()];
    order
        .iter()
        .enumerate()
        .for_each(|(place, b)| now[*b] = place);
    let mut bodies: Vec<Option<Body>> = std::mem::take(&mut out.bodies)
        .into_iter()
        .map(Some)
        .collect();
    out.bodies = order.iter().filter_map(|b| bodies[*b].take()).collect();
    for body in &mut out.bodies {
        body.joined.iter_mut().for_each(|b| *b = now[*b]);
        if body.part != Part::Fitting && body.part != Part::Trap && glued_upstream(&body.tubes) {
            body.tubes.reverse();
        }
        if body.part == Part::Pipe {
            coupled(&mut body.tubes);
        }
    }
    out.of_piece.iter_mut().flatten().for_each(|b| *b = now[*b]);
}

/// Makes one tube of pipes that are coupled in line.
fn coupled(tubes: &mut Vec<Tube>) {
    tubes.dedup_by(|next, held| {
        let (way, on) = (held.b - held.a, next.b - next.a);
        let in_line = way.normalize_or_zero().dot(on.normalize_or_zero()) > 1.0 - 1e-6;
        let one = in_line && held.b.distance(next.a) < COUPLED;
        if one {
            held.b = next.b;
        }
        one
    });
}

/// Whether each tube comes before the one it flows into.
fn glued_upstream(tubes: &[Tube]) -> bool {
    match tubes {
        [first, second, ..] => second.b.distance(first.a) < first.b.distance(second.a),
        [_] | [] => false,
    }
}
