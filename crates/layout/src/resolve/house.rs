//! The house itself: slab, foundation, walls, cabinets, box-outs, rooms, fixtures, services.

use glam::DVec2;
use units::Id;

use super::{Evening, Place, Resolver, What};
use crate::{
    file::{
        BlockSays, BoxOutSays, CabinetSays, Datum, EdgeSays, FixtureSays, FootingSays, Outline,
        PointForm, RoomSays, ServiceSays, SlabSays, TrapSays, VentSays, WallFace, WallSays,
        ZoneSays,
    },
    model::{
        Answer, Block, BoxOut, Cabinet, Edge, EdgeKind, Fixture, FixtureKind, Footing, FootingStep,
        Foundation, Landing, Layout, Room, RoomKind, Service, Slab, TrapPlace, Vent, Wall, Zone,
    },
    outline,
    words::fixture_word,
};

/// Clear distance under the lowest covering layer until told (the design's default, not a code's).
const USUAL_GAP: f64 = 2.0;
/// Depth of studs until told: a 2x4.
const USUAL_FRAMING: f64 = 3.5;
/// Board on each side of a wall until told (common practice, no source).
const USUAL_BOARD: f64 = 0.5;
/// Height of a cabinet until told (common practice, no source).
const USUAL_CABINET: f64 = 36.0;
/// Depth of a box-out until told (common practice, no source).
const USUAL_BOX_OUT: f64 = 8.0;
/// Height a service is left above the floor until told (common practice, no source).
const USUAL_SERVICE_TOP: f64 = 12.0;
/// From a fixture's outlet to the weir of a trap under the slab until told: about the reach of a 2 in P-trap (from memory).
const USUAL_TRAP_REACH: f64 = 8.0;

/// From the centre line of a wall to one of its faces.
pub(super) fn face_off(wall: &WallSays, left: bool, face: WallFace) -> f64 {
    let stud = wall.framing.unwrap_or(USUAL_FRAMING) / 2.0;
    match face {
        WallFace::Stud => stud,
        WallFace::Finish => stud + finish(wall, left),
    }
}

/// Board and tile on one side of a wall.
fn finish(wall: &WallSays, left: bool) -> f64 {
    let (board, tile) = if left {
        (wall.board_left, wall.tile_left)
    } else {
        (wall.board_right, wall.tile_right)
    };
    board.or(wall.board).unwrap_or(USUAL_BOARD) + tile.unwrap_or_default()
}

impl Resolver<'_> {
    /// All of the layout but its drains, runs and cleanouts.
    pub(super) fn house(&mut self) -> Layout {
        let says = self.says;
        let slab = self.slab(says.slab.as_ref());
        let side_count = says
            .slab
            .as_ref()
            .and_then(|s| s.outline.as_ref())
            .map(|o| o.corners.len());
        let turned = self.slab_turned();
        let edge = self.edge(says.edge.as_ref(), side_count.unwrap_or(0), turned);
        let blocks = says.blocks.iter().filter_map(|b| self.block(b)).collect();
        self.ground_to_tell();
        let walls: Vec<Wall> = says
            .walls
            .iter()
            .filter_map(|w| self.wall(w, slab.as_ref(), edge.as_ref()))
            .collect();
        let cabinets: Vec<Cabinet> = says
            .cabinets
            .iter()
            .filter_map(|c| self.cabinet(c))
            .collect();
        let box_outs: Vec<BoxOut> = says
            .box_outs
            .iter()
            .filter_map(|b| self.box_out(b))
            .collect();
        self.held.extend(walls.iter().map(|wall| wall.id.clone()));
        self.held
            .extend(cabinets.iter().map(|cabinet| cabinet.id.clone()));
        self.held
            .extend(box_outs.iter().map(|made| made.id.clone()));
        let mut layout = Layout {
            title: says.title.clone(),
            dated: says.dated.clone(),
            code: says.code,
            floor_elevation: says.floor_elevation,
            slab,
            foundation: Foundation { edge, blocks },
            outside: says.outside.clone(),
            walls,
            cabinets,
            box_outs,
            ..Layout::default()
        };
        layout.fixtures = says
            .fixtures
            .iter()
            .filter_map(|f| self.fixture(f, &layout))
            .collect();
        layout.rooms = says
            .rooms
            .iter()
            .filter_map(|r| self.room(r, &layout.fixtures))
            .collect();
        layout.services = says
            .services
            .iter()
            .filter_map(|s| self.service(s, &layout))
            .collect();
        self.house_to_tell(&layout);
        layout
    }

    fn house_to_tell(&mut self, layout: &Layout) {
        if layout.code.is_none() {
            self.tell(
                Evening::Code,
                "code",
                "the code on the permit: irc, ipc or upc",
            );
        }
        if self.says.fixtures.is_empty() {
            self.tell(
                Evening::Closets,
                "fixtures",
                "what needs a drain, and where it stands",
            );
        }
    }

    fn ground_to_tell(&mut self) {
        let outside = &self.says.outside;
        if outside.ground.is_empty() {
            let what = "how far the ground lies below the floor at the wall and ten feet out; no cover outside is judged until then";
            self.tell(Evening::Ground, "outside", what);
        }
        if outside.frost.is_none() {
            self.tell(
                Evening::Ground,
                "outside",
                "the depth of frost; no frost is assumed until then",
            );
        }
        if outside.cover.is_none() {
            let what = "the least cover over the sewer the town asks; none is judged until then";
            self.tell(Evening::Ground, "outside", what);
        }
    }

    fn slab(&mut self, says: Option<&SlabSays>) -> Option<Slab> {
        if self.says.measured_from == Datum::Stud && self.says.ledge.is_none() {
            let what = "how far the form stands outside the studs; taken as 0 until then";
            self.tell(Evening::Slab, "ledge", what);
        }
        let outline = self.slab_outline(says.and_then(|s| s.outline.as_ref()));
        let Some(outline) = outline else {
            let what = "its outline, to the outside of the form (or of the studs); nothing under it is judged until then";
            self.tell(Evening::Slab, "slab", what);
            return None;
        };
        let says = says?;
        if says.layers.as_ref().is_none_or(Vec::is_empty) {
            let what = "its layers from the top down; no cover under it is judged until then";
            self.tell(Evening::Slab, "slab", what);
        }
        let layers = says.layers.clone().unwrap_or_default();
        Some(Slab {
            outline,
            zones: says
                .zones
                .iter()
                .filter_map(|z| self.zone(z, &layers))
                .collect(),
            layers,
            gap: says.gap.unwrap_or(USUAL_GAP),
            hubs_below: says.hubs_below.unwrap_or_default(),
            post_tensioned: says.post_tensioned.unwrap_or_default(),
        })
    }

    /// The outside of the form from its own south-west corner; sets the origin that all else is told from.
    pub(super) fn slab_outline(&mut self, says: Option<&Outline>) -> Option<Vec<DVec2>> {
        let says = says?;
        let (corners, face) = self.slab_corners(says)?;
        let (ring, _) = self.ring(says, corners)?;
        let by = match face {
            Datum::Form => 0.0,
            Datum::Stud => self.ledge,
        };
        let form = if by > 0.0 {
            outline::grown(&ring, by)
        } else {
            ring
        };
        if form.iter().any(|corner| !corner.is_finite()) {
            return None;
        }
        self.origin = outline::south_west(&form);
        Some(
            form.into_iter()
                .map(|corner| corner - self.origin)
                .collect(),
        )
    }

    fn slab_corners(&mut self, says: &Outline) -> Option<(Vec<DVec2>, Datum)> {
        let mut corners = Vec::new();
        let mut face = None;
        for corner in &says.corners {
            let PointForm::Absolute { x, y, face: of } = corner.form else {
                let right = "write (x, y): all else stands on the slab";
                self.wrong_at(
                    &corner.span,
                    "a corner of the slab stands on another item",
                    right,
                );
                return None;
            };
            if face.is_some_and(|face| face != of) {
                let right = "measure the whole outline from one of form and stud";
                self.wrong_at(
                    &corner.span,
                    "this corner is measured from another face",
                    right,
                );
                return None;
            }
            face = Some(of);
            corners.push(self.absolute(x, y, of));
        }
        Some((corners, face.unwrap_or_default()))
    }

    /// Whether the file writes the slab's corners clockwise.
    fn slab_turned(&self) -> bool {
        let outline = self.says.slab.as_ref().and_then(|s| s.outline.as_ref());
        let corners = outline.map_or(&[][..], |o| &o.corners);
        let plain = corners.iter().filter_map(|corner| match corner.form {
            PointForm::Absolute { x, y, .. } => Some(DVec2::new(x, y)),
            PointForm::OffWall { .. }
            | PointForm::InWall { .. }
            | PointForm::InFrame { .. }
            | PointForm::From { .. } => None,
        });
        outline::doubled_area(&plain.collect::<Vec<_>>()) < 0.0
    }

    fn zone(&mut self, says: &ZoneSays, layers: &[crate::model::Layer]) -> Option<Zone> {
        let outline = self.outline(says.outline.as_ref());
        if says.outline.is_none() {
            self.tell(
                Evening::Slab,
                &says.name.id,
                "its outline; the floor there is taken as the slab's until then",
            );
        }
        let kept = self.holds(&says.name);
        outline.filter(|_| kept).map(|outline| Zone {
            id: says.name.id.clone(),
            outline,
            drop: says.drop.unwrap_or_default(),
            layers: says.layers.clone().unwrap_or_else(|| layers.to_vec()),
        })
    }

    fn edge(&mut self, says: Option<&EdgeSays>, sides: usize, turned: bool) -> Option<Edge> {
        let Some(says) = says else {
            let what = "what carries the slab's edge (stem_wall, foam_form, turned_down or grade_beam); what passes it is not judged until then";
            self.tell(Evening::Slab, "foundation", what);
            return None;
        };
        let footing = says
            .footing
            .as_ref()
            .and_then(|f| self.footing(f, sides, turned));
        let on_footing = matches!(says.kind, Some(EdgeKind::StemWall | EdgeKind::FoamForm));
        if footing.is_none() && on_footing {
            let what = "the width and thickness of its footing; what lies beside it is not judged until then";
            self.tell(Evening::Slab, "foundation", what);
        }
        let whole = says.kind.zip(says.thickness).zip(says.bottom);
        let Some(((kind, thickness), bottom)) = whole else {
            let what = "the kind, thickness and bottom of the edge; what passes it is not judged until then";
            self.tell(Evening::Slab, "foundation", what);
            return None;
        };
        let top = says.top.unwrap_or_default();
        (bottom < top).then_some(Edge {
            kind,
            thickness,
            top,
            bottom,
            footing,
        })
    }

    fn footing(&mut self, says: &FootingSays, sides: usize, turned: bool) -> Option<Footing> {
        let mut steps = Vec::new();
        for (span, side, top) in &says.steps {
            if *side >= sides {
                let wrong = format!("the outline has no side {side}");
                let right = format!("sides count from 0; the outline has {sides}");
                self.wrong_at(span, wrong, right);
                continue;
            }
            // Reversed, corner k stands where corner sides - 1 - k stood, and side k where side sides - 2 - k was.
            let side = if turned {
                (2 * sides - 2 - side) % sides
            } else {
                *side
            };
            steps.push(FootingStep { side, top: *top });
        }
        let (width, thickness) = says.width.zip(says.thickness)?;
        Some(Footing {
            width,
            thickness,
            steps,
        })
    }

    fn block(&mut self, says: &BlockSays) -> Option<Block> {
        let outline = self.outline(says.outline.as_ref());
        if let (Some(ring), Some(told)) = (&outline, &says.outline)
            && !outline::is_convex(ring)
        {
            let right = "write it as several blocks without inside corners";
            self.wrong_at(&told.span, "the block has an inside corner", right);
            return None;
        }
        let told = says
            .kind
            .zip(says.outline.as_ref())
            .zip(says.top.zip(says.bottom));
        let Some(((kind, _), (top, bottom))) = told else {
            let what = "its kind, outline, top and bottom; it is left out until then";
            self.tell(Evening::Slab, &says.name.id, what);
            return None;
        };
        let kept = self.holds(&says.name) && bottom < top;
        outline.filter(|_| kept).map(|outline| Block {
            id: says.name.id.clone(),
            kind,
            outline,
            top,
            bottom,
        })
    }

    fn wall(&mut self, says: &WallSays, slab: Option<&Slab>, edge: Option<&Edge>) -> Option<Wall> {
        let id = &says.name.id;
        if says.from.is_none() || says.to.is_none() {
            self.tell(
                Evening::Walls,
                id,
                "where it starts and ends; what stands in it or off it waits for that",
            );
        }
        if says.framing.is_none() {
            self.tell(Evening::Walls, id, "its framing; taken as 2x4 until then");
        }
        if says
            .board
            .or(says.board_left)
            .or(says.board_right)
            .is_none()
        {
            self.tell(
                Evening::Walls,
                id,
                "its board; taken as 1/2 in on both sides until then",
            );
        }
        let (from, to) = self.own_line(says)?;
        let on_edge = says.on_edge.unwrap_or_default();
        if says.on_edge.is_none() && stands_near_edge((from, to), slab, edge) {
            let what =
                "on_edge: whether it stands on the foundation's edge; taken as no until then";
            self.tell(Evening::Walls, id, what);
        }
        Some(Wall {
            id: id.clone(),
            from,
            to,
            framing: says.framing.unwrap_or(USUAL_FRAMING),
            finish_left: finish(says, true),
            finish_right: finish(says, false),
            on_edge,
        })
    }

    fn own_line(&mut self, says: &WallSays) -> Option<(DVec2, DVec2)> {
        match self.own_place(&says.name)? {
            Place::Wall(from, to) => Some((from, to)),
            Place::Frame(..) | Place::Spot(_) => None,
        }
    }

    /// The place of the item so named, unless an earlier one has the name.
    fn own_place(&mut self, name: &crate::file::Name) -> Option<Place> {
        if !self.holds(name) {
            return None;
        }
        let number = *self.index.get(&name.id)?;
        self.place(number, &name.span)
    }

    fn cabinet(&mut self, says: &CabinetSays) -> Option<Cabinet> {
        let id = &says.name.id;
        if says.centre.is_none() || says.size.is_none() {
            self.tell(
                Evening::Sinks,
                id,
                "its middle and size; what stands in it waits for that",
            );
        }
        let Place::Frame(centre, turn_deg) = self.own_place(&says.name)? else {
            return None;
        };
        let (long, deep) = says.size?;
        Some(Cabinet {
            id: id.clone(),
            centre,
            size: DVec2::new(long, deep),
            turn_deg,
            height: says.height.unwrap_or(USUAL_CABINET),
        })
    }

    fn box_out(&mut self, says: &BoxOutSays) -> Option<BoxOut> {
        let id = &says.name.id;
        if says.centre.is_none() || says.size.is_none() {
            self.tell(
                Evening::Bathing,
                id,
                "its middle and size; it is left out until then",
            );
        }
        if says.depth.is_none() {
            self.tell(Evening::Bathing, id, "its depth; taken as 8 in until then");
        }
        let Place::Frame(centre, turn_deg) = self.own_place(&says.name)? else {
            return None;
        };
        let (long, deep) = says.size?;
        Some(BoxOut {
            id: id.clone(),
            centre,
            size: DVec2::new(long, deep),
            turn_deg,
            depth: says.depth.unwrap_or(USUAL_BOX_OUT),
        })
    }

    fn room(&mut self, says: &RoomSays, fixtures: &[Fixture]) -> Option<Room> {
        let id = &says.name.id;
        if says.kind.is_none() {
            self.tell(Evening::Others, id, "what kind of room it is");
        }
        let kind = says.kind.unwrap_or(RoomKind::Other);
        for (of, answer) in &says.drains {
            let here = fixtures.iter().any(|fixture| fixture.kind == *of);
            if !here && *answer != Answer::No {
                let what = format!(
                    "where its {} stands; no fixture of that kind is told",
                    plain_word(*of)
                );
                self.tell(Evening::Others, id, what);
            }
        }
        self.holds(&says.name).then(|| Room {
            id: id.clone(),
            kind,
            drains: says.drains.clone(),
        })
    }

    fn fixture(&mut self, says: &FixtureSays, layout: &Layout) -> Option<Fixture> {
        let id = &says.name.id;
        let evening = says.kind.map_or(Evening::Others, evening_of);
        if says.kind.is_none() {
            self.tell(
                evening,
                id,
                "what kind of fixture it is; it is left out until then",
            );
        }
        if says.at.is_none() {
            self.tell(evening, id, "where it stands; it is left out until then");
        }
        let before = self.mistakes.len();
        let spot = self.own_place(&says.name);
        if says.at.is_some() && spot.is_none() && self.mistakes.len() == before {
            self.tell(
                evening,
                id,
                "what it stands on has no place yet; it is left out until then",
            );
        }
        let back_wall = self.wall_id(says.back_wall.as_ref());
        let named = says.landing.as_ref().and_then(|l| self.named_landing(l));
        let vent = self.vent(says);
        let Place::Spot(at) = spot? else { return None };
        let kind = says.kind?;
        if kind == FixtureKind::Closet && says.back_wall.is_none() {
            let what = "its back wall; its rough-in is not judged until then";
            self.tell(evening, id, what);
        }
        let landing = named.unwrap_or_else(|| self.landing_of(says, kind, at, layout));
        Some(Fixture {
            id: id.clone(),
            kind,
            at,
            landing: self.kept_landing(landing),
            trap: trap_of(says.trap, kind),
            size: says.size,
            top: says.top,
            vent,
            back_wall: back_wall.filter(|wall| self.held.contains(wall)),
            rough_in: says.rough_in,
            boot: says.boot,
            later: says.later.unwrap_or_default(),
        })
    }

    /// What a stub at `at` comes up in when the file does not say.
    fn landing_of(
        &mut self,
        says: &FixtureSays,
        kind: FixtureKind,
        at: DVec2,
        layout: &Layout,
    ) -> Landing {
        if let Some(inside) = self.landing_by_point(says.at.as_ref().map(|p| &p.form)) {
            return inside;
        }
        let found = landing_at(at, layout, floor_first(kind));
        if found.is_none() && !floor_first(kind) {
            let what = "what its stub comes up in (landing); taken as open floor until then";
            self.tell(evening_of(kind), &says.name.id, what);
        }
        found.unwrap_or(Landing::Floor)
    }

    /// A point told in a wall, cabinet or box-out lands there.
    pub(super) fn landing_by_point(&self, form: Option<&PointForm>) -> Option<Landing> {
        match form? {
            PointForm::InWall { wall, .. } => Some(Landing::Wall(wall.id.clone())),
            PointForm::InFrame { item, .. } => {
                let number = *self.index.get(&item.id)?;
                let id = item.id.clone();
                Some(match self.items[number].what {
                    What::BoxOut => Landing::BoxOut(id),
                    _ => Landing::Cabinet(id),
                })
            }
            PointForm::Absolute { .. } | PointForm::OffWall { .. } | PointForm::From { .. } => None,
        }
    }

    /// A landing only on what the layout holds.
    pub(super) fn kept_landing(&self, landing: Landing) -> Landing {
        let held = match &landing {
            Landing::Floor => true,
            Landing::Wall(id) | Landing::Cabinet(id) | Landing::BoxOut(id) => {
                self.held.contains(id)
            }
        };
        if held { landing } else { Landing::Floor }
    }

    fn vent(&mut self, says: &FixtureSays) -> Vent {
        let vent = says
            .vent
            .as_ref()
            .and_then(|vent| self.vent_told(says, vent));
        vent.unwrap_or(Vent::Unknown)
    }

    fn vent_told(&mut self, says: &FixtureSays, vent: &VentSays) -> Option<Vent> {
        match vent {
            VentSays::Riser => Some(Vent::Riser),
            VentSays::Admittance => Some(Vent::Admittance),
            VentSays::Combination => Some(Vent::Combination),
            VentSays::Other(words) => Some(Vent::Other(words.clone())),
            VentSays::Common(name) => self.shared(says, name).map(Vent::Common),
            VentSays::Wet(name) => self.shared(says, name).map(Vent::Wet),
            VentSays::TakeOff { at, up, wall } => {
                let take_off = self.point_of(at.as_ref());
                let (up, wall) = self.comes_up(says, up.as_ref(), wall.as_ref()).unzip();
                if at.is_none() {
                    self.tell(
                        Evening::Vents,
                        &says.name.id,
                        "where its vent leaves the run (at)",
                    );
                }
                Some(Vent::TakeOff {
                    take_off: take_off?,
                    up: up?,
                    wall: wall?,
                })
            }
            VentSays::IslandLoop { down, up, wall } => {
                if down.is_none() {
                    let what = "where its loop comes down again beside it (down)";
                    self.tell(Evening::Vents, &says.name.id, what);
                }
                let down = self.point_of(down.as_ref());
                let (up, wall) = self.comes_up(says, up.as_ref(), wall.as_ref()).unzip();
                Some(Vent::IslandLoop {
                    down: down?,
                    up: up?,
                    wall: wall?,
                })
            }
        }
    }

    fn shared(&mut self, says: &FixtureSays, name: &crate::file::Name) -> Option<Id> {
        if name.id == says.name.id {
            self.wrong(
                name,
                "a fixture can't vent by itself",
                "name the fixture whose vent it shares",
            );
            return None;
        }
        let (_, item) = self.find(name, &[What::Fixture])?;
        let other = &self.says.fixtures[item.index];
        (other.kind.is_some() && other.at.is_some()).then(|| name.id.clone())
    }

    /// Where a dry vent comes up, and in which wall: the wall named, or the one the point is told in.
    fn comes_up(
        &mut self,
        says: &FixtureSays,
        up: Option<&crate::file::Point>,
        wall: Option<&crate::file::Name>,
    ) -> Option<(DVec2, Id)> {
        let at = self.point_of(up);
        let named = self.wall_id(wall);
        let told_in = match up.map(|point| &point.form) {
            Some(PointForm::InWall { wall, .. }) => Some(wall.id.clone()),
            _ => None,
        };
        let in_wall = named.or(told_in);
        if up.is_none() || in_wall.is_none() {
            let what = "where its vent comes up, and in which wall";
            self.tell(Evening::Vents, &says.name.id, what);
        }
        at.zip(in_wall)
    }

    fn service(&mut self, says: &ServiceSays, layout: &Layout) -> Option<Service> {
        let id = &says.name.id;
        if says.top.is_none() {
            self.tell(
                Evening::Others,
                id,
                "how far above the floor it is left; taken as 12 in until then",
            );
        }
        let path: Vec<DVec2> = says.path.iter().filter_map(|p| self.point(p)).collect();
        let named = says.landing.as_ref().and_then(|l| self.named_landing(l));
        let told = says.kind.zip(says.level).zip(says.od);
        let (true, Some(((kind, level), od))) = (says.path.len() >= 2, told) else {
            let what = "its kind, path, level and outside diameter (od); it is left out until then";
            self.tell(Evening::Others, id, what);
            return None;
        };
        let whole = path.len() == says.path.len() && self.holds(&says.name);
        let end = *path.last().filter(|_| whole)?;
        let by_point = self.landing_by_point(says.path.last().map(|p| &p.form));
        let landing = named
            .or(by_point)
            .or_else(|| landing_at(end, layout, false));
        Some(Service {
            id: id.clone(),
            kind,
            path,
            level,
            od,
            boot: says.boot,
            top: says.top.unwrap_or(USUAL_SERVICE_TOP),
            landing: self.kept_landing(landing.unwrap_or(Landing::Floor)),
        })
    }
}

/// The wall, cabinet or box-out that holds a point; only a box-out for what comes up through the floor.
pub(super) fn landing_at(at: DVec2, layout: &Layout, floor_first: bool) -> Option<Landing> {
    let inside = |centre: DVec2, size: DVec2, turn: f64| {
        let own = DVec2::from_angle(-turn.to_radians())
            .rotate(at - centre)
            .abs();
        own.x <= size.x / 2.0 && own.y <= size.y / 2.0
    };
    let box_out = layout
        .box_outs
        .iter()
        .find(|b| inside(b.centre, b.size, b.turn_deg));
    if let Some(found) = box_out {
        return Some(Landing::BoxOut(found.id.clone()));
    }
    if floor_first {
        return None;
    }
    let in_framing =
        |w: &&Wall| outline::nearest(&[w.from, w.to], at).is_some_and(|n| n.off <= w.framing / 2.0);
    let wall = layout
        .walls
        .iter()
        .find(in_framing)
        .map(|w| Landing::Wall(w.id.clone()));
    let cabinet = layout
        .cabinets
        .iter()
        .find(|c| inside(c.centre, c.size, c.turn_deg));
    wall.or_else(|| cabinet.map(|c| Landing::Cabinet(c.id.clone())))
}

/// Whether a wall's line lies over the foundation's edge.
fn stands_near_edge(line: (DVec2, DVec2), slab: Option<&Slab>, edge: Option<&Edge>) -> bool {
    let (Some(slab), Some(edge)) = (slab, edge) else {
        return false;
    };
    let mut ring = slab.outline.clone();
    ring.extend(slab.outline.first());
    let near = |p: DVec2| outline::nearest(&ring, p).is_some_and(|n| n.off <= edge.thickness);
    near(line.0) && near(line.1) && near(line.0.midpoint(line.1))
}

/// Kinds whose stub comes up through open floor or a box-out, never in a wall.
fn floor_first(kind: FixtureKind) -> bool {
    match kind {
        FixtureKind::Closet
        | FixtureKind::Bidet
        | FixtureKind::Tub
        | FixtureKind::Shower
        | FixtureKind::FloorDrain
        | FixtureKind::HeaterPan => true,
        FixtureKind::Lavatory
        | FixtureKind::KitchenSink
        | FixtureKind::BarSink
        | FixtureKind::UtilitySink
        | FixtureKind::Washer
        | FixtureKind::Softener
        | FixtureKind::Condensate
        | FixtureKind::HoseSink => false,
    }
}

fn trap_of(says: Option<TrapSays>, kind: FixtureKind) -> TrapPlace {
    let under = |across: Option<f64>| TrapPlace::UnderSlab {
        across: across.unwrap_or(USUAL_TRAP_REACH),
    };
    match says {
        Some(TrapSays::InFixture) => TrapPlace::InFixture,
        Some(TrapSays::InWall(tee)) => TrapPlace::InWall { tee },
        Some(TrapSays::UnderSlab(across)) => under(across),
        None => match kind {
            FixtureKind::Closet | FixtureKind::Bidet => TrapPlace::InFixture,
            FixtureKind::Tub
            | FixtureKind::Shower
            | FixtureKind::FloorDrain
            | FixtureKind::HeaterPan => under(None),
            FixtureKind::Lavatory
            | FixtureKind::KitchenSink
            | FixtureKind::BarSink
            | FixtureKind::UtilitySink
            | FixtureKind::Washer
            | FixtureKind::Softener
            | FixtureKind::Condensate
            | FixtureKind::HoseSink => TrapPlace::InWall { tee: None },
        },
    }
}

pub(super) fn evening_of(kind: FixtureKind) -> Evening {
    match kind {
        FixtureKind::Closet | FixtureKind::Bidet => Evening::Closets,
        FixtureKind::Tub | FixtureKind::Shower => Evening::Bathing,
        FixtureKind::Lavatory
        | FixtureKind::KitchenSink
        | FixtureKind::BarSink
        | FixtureKind::UtilitySink => Evening::Sinks,
        FixtureKind::Washer
        | FixtureKind::FloorDrain
        | FixtureKind::HeaterPan
        | FixtureKind::Softener
        | FixtureKind::Condensate
        | FixtureKind::HoseSink => Evening::Others,
    }
}

fn plain_word(kind: FixtureKind) -> String {
    fixture_word(kind).replace('_', " ")
}
