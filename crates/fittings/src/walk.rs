//! Walks the glued pieces from the exit, knowing only what each piece is and how it sits in the one before: whether the
//! chain arrives is found out here, not assumed.

use catalog::{Catalog, EndName};
use glam::DVec3;

use crate::{Assembly, Frame, frame::end_matrix};

/// Where each piece comes to stand when the pieces are glued one after the other, starting from those that have nothing
/// nearer the exit, which stand where they were put. `None` for a piece no joint reaches.
pub fn walk(assembly: &Assembly, catalog: &Catalog) -> Vec<Option<Frame>> {
    let mut out: Vec<Option<Frame>> = vec![None; assembly.pieces.len()];
    let mut has_nearer = vec![false; assembly.pieces.len()];
    // Joints by the piece they are on, each piece's in their order, and where those of a piece begin.
    let mut joints: Vec<usize> = (0..assembly.joints.len()).collect();
    joints.sort_by_key(|j| assembly.joints[*j].near.0);
    let mut begin = vec![0; assembly.pieces.len() + 1];
    for joint in &assembly.joints {
        has_nearer[joint.far.0] = true;
        begin[joint.near.0 + 1] += 1;
    }
    for piece in 1..begin.len() {
        begin[piece] += begin[piece - 1];
    }
    let mut waiting: Vec<usize> = (0..out.len()).filter(|p| !has_nearer[*p]).collect();
    for &root in &waiting {
        out[root] = Some(assembly.pieces[root].frame);
    }
    while let Some(near) = waiting.pop() {
        for &j in &joints[begin[near]..begin[near + 1]] {
            let far = assembly.joints[j].far.0;
            out[far] = out[near].and_then(|frame| next(assembly, catalog, j, &frame));
            waiting.push(far);
        }
    }
    out
}

/// The frame of a joint's far piece, from that of its near piece.
fn next(assembly: &Assembly, catalog: &Catalog, joint: usize, near: &Frame) -> Option<Frame> {
    let joint = &assembly.joints[joint];
    let (stop, outward) = assembly.pieces[joint.near.0].end(joint.near.1, catalog)?;
    let at = near.at + near.turned(stop.to_array());
    let hub = end_matrix(near.turned(outward.to_array()), near.z());
    let sits = joint.seat.applied(hub);
    // The far end in its own frame, turned into the seat.
    let (tip, way) = assembly.pieces[joint.far.0].end(joint.far.1, catalog)?;
    let own = end_matrix(way, DVec3::Z);
    let turn = sits * own.transpose();
    let origin = at - turn * tip;
    Some(Frame {
        at: origin,
        x: turn.x_axis,
        y: turn.y_axis,
    })
}

/// A point of a piece's end, walked.
pub(crate) fn end_point(
    assembly: &Assembly,
    catalog: &Catalog,
    walked: &[Option<Frame>],
    piece: usize,
    end: EndName,
) -> Option<DVec3> {
    let frame = walked.get(piece).copied().flatten()?;
    let (stop, _) = assembly.pieces[piece].end(end, catalog)?;
    Some(frame.at + frame.turned(stop.to_array()))
}
