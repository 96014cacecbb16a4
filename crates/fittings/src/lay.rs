//! Lays one chain of pieces along its axis, from the end nearer the exit upstream: fittings at their nodes, pipe
//! between their stops.

use catalog::{Catalog, Dim, End, EndKind, EndName, How, Part, Pattern, Sizes};
use glam::DVec3;
use units::{Id, SAME_LENGTH, Size};

use crate::{
    Flow, Frame, GlueJoint, Piece, Seat, Trouble, TroubleKind, What, frame::end_matrix, turn,
};

/// A street end this near the hub's stop is home, inches.
pub(crate) const HOME: f64 = 1.0 / 16.0;

/// Everything laid so far.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Laid {
    pub(crate) pieces: Vec<Piece>,
    pub(crate) joints: Vec<GlueJoint>,
    pub(crate) troubles: Vec<Trouble>,
}

/// An end waiting for what comes next upstream.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Open {
    /// The end; `None` where a drain begins, with nothing downstream of it.
    pub(crate) end: Option<(usize, EndName)>,
    /// Its stop.
    pub(crate) at: DVec3,
    /// The axes' crossing it belongs to: the way to the next node is measured from here.
    pub(crate) centre: DVec3,
    /// Its size.
    pub(crate) size: Size,
    /// Its take-off.
    pub(crate) take_off: Dim,
}

/// What stands at a node of a chain.
#[derive(Clone, PartialEq, Debug)]
pub(crate) enum Make {
    /// A bend, its inlet toward the next node.
    Bend {
        /// The pattern, hubs at both ends.
        pattern: Pattern,
        /// Its outlet is a street end, home in the hub before it.
        street: bool,
    },
    /// A fitting whose outlet lies down the chain, and whose y looks this way.
    Fitting {
        /// What.
        part: Part,
        /// Toward its branch.
        toward: DVec3,
    },
    /// The same the other way about, its inlet down the chain: a branch that looks with the flow.
    About {
        /// What.
        part: Part,
        /// Toward its branch.
        toward: DVec3,
    },
}

/// A node of a chain.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Node {
    /// Where its axes cross.
    pub(crate) at: DVec3,
    /// What stands there.
    pub(crate) make: Make,
    /// Size of the pipe there.
    pub(crate) size: Size,
    /// Who waits for its branches: (branch, key).
    pub(crate) waits: Vec<(EndName, Wait)>,
}

/// Who waits for an open end.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(crate) enum Wait {
    /// A run of the tree being laid.
    Run(usize),
    /// A vent of the network.
    Vent(usize),
    /// The loop that comes down into a vent of the network.
    Return(usize),
    /// A cleanout of the layout.
    Cleanout(usize),
}

/// A fitting that stands in a line laid downstream.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Stand {
    /// Where its axes cross, on the line.
    pub(crate) at: DVec3,
    /// What.
    pub(crate) part: Part,
    /// Toward its branch.
    pub(crate) toward: DVec3,
    /// Its inlet lies downstream, so that its branch looks with the flow.
    pub(crate) about: bool,
    /// Who waits for its branch.
    pub(crate) wait: Wait,
}

/// Where a line laid downstream goes.
pub(crate) struct Away {
    /// Flow of the pipe it is coupled to.
    pub(crate) flow: DVec3,
    /// The bend that turns it away from there; `None` for a coupling.
    pub(crate) bend: Option<Pattern>,
    /// Centres of the two eighth bends that drop it, upstream first.
    pub(crate) drop: Option<[DVec3; 2]>,
    /// Its far end.
    pub(crate) end: DVec3,
}

impl Away {
    /// Each bend of the drop with the point it looks to.
    fn bends(&self) -> impl Iterator<Item = (DVec3, DVec3)> {
        let bends = self.drop.into_iter();
        bends.flat_map(|[upper, lower]| [(upper, lower), (lower, self.end)])
    }
}

/// A chain's name and use.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Who {
    pub(crate) id: Id,
    pub(crate) flow: Flow,
}

/// Lays chains into [`Laid`].
pub(crate) struct Layer<'a> {
    pub(crate) catalog: &'a Catalog,
    pub(crate) out: Laid,
}

impl Layer<'_> {
    /// Lays the nodes, upstream order; `beyond` is the point the last one looks to. Gives the end left open, and the ends
    /// of branches that others wait for.
    pub(crate) fn chain(
        &mut self,
        who: &Who,
        open: Open,
        nodes: &[Node],
        beyond: DVec3,
    ) -> (Open, Vec<(Wait, Open)>) {
        let mut tail = open;
        let mut waits = Vec::new();
        for (i, node) in nodes.iter().enumerate() {
            let next = nodes.get(i + 1).map_or(beyond, |next| next.at);
            let Some((part, frame)) = self.stand(who, &tail, node, next) else {
                continue;
            };
            let part = self.hub_to_hub(&tail, part, &frame).unwrap_or(part);
            tail = self.join(who, tail, part, frame, node, &mut waits);
        }
        (tail, waits)
    }

    /// Which part stands at a node, and how it is turned; told as not made otherwise.
    fn stand(&mut self, who: &Who, tail: &Open, node: &Node, next: DVec3) -> Option<(Part, Frame)> {
        let flow = tail.centre - node.at;
        let (part, toward) = match &node.make {
            Make::Fitting { part, toward } | Make::About { part, toward } => (*part, *toward),
            Make::Bend { pattern, street } => {
                let plain = Part::new(*pattern, Sizes::one(node.size));
                let part = street
                    .then(|| turn::street(self.catalog, *pattern, node.size))
                    .flatten();
                (part.unwrap_or(plain), next - node.at)
            }
        };
        if let Err(missing) = self.catalog.find(part.pattern, part.sizes) {
            self.trouble(
                who,
                node.at,
                TroubleKind::NotMade,
                format!("{missing}"),
                "take a size that is made",
                (0.0, 0.0),
            );
            return None;
        }
        let flow = if flow.length() > SAME_LENGTH {
            flow
        } else {
            node.at - next
        };
        let flow = match node.make {
            Make::Bend { .. } | Make::Fitting { .. } => flow,
            Make::About { .. } => -flow,
        };
        Some((part, Frame::new(node.at, flow, toward)))
    }

    /// The street version of a part, where the pipe before it would be too short for two sockets and the two fittings stand
    /// just so far apart that the street end is home in the hub.
    fn hub_to_hub(&self, tail: &Open, part: Part, frame: &Frame) -> Option<Part> {
        let plain = self.catalog.get(part.pattern, part.sizes)?;
        let outlet = plain.end(EndName::Outlet)?;
        let into = tail.end.filter(|_| tail.size == outlet.size)?;
        let pipe = self.catalog.pipe(tail.size);
        let stop = frame.at + frame.turned(outlet.direction) * outlet.take_off.value;
        let short = (tail.at - stop).dot(frame.x) < pipe.shortest_piece() - 1.0 / 64.0;
        let hub = self.out.pieces[into.0].part()?;
        let hub = self.catalog.get(hub.pattern, hub.sizes)?;
        let is_hub = hub.end(into.1)?.kind == EndKind::Hub && outlet.kind == EndKind::Hub;
        let street = Part::new(part.pattern.street()?, part.sizes);
        let fitting = self.catalog.get(street.pattern, street.sizes)?;
        let tip = fitting.end(EndName::Outlet)?.take_off.value;
        let home = (frame.at + frame.x * tip).distance(tail.at) <= HOME;
        (short && is_hub && home).then_some(street)
    }

    fn join(
        &mut self,
        who: &Who,
        tail: Open,
        part: Part,
        frame: Frame,
        node: &Node,
        waits: &mut Vec<(Wait, Open)>,
    ) -> Open {
        let Some(fitting) = self.catalog.get(part.pattern, part.sizes) else {
            return tail;
        };
        let (down, up) = match node.make {
            Make::Bend { .. } | Make::Fitting { .. } => (EndName::Outlet, EndName::Inlet),
            Make::About { .. } => (EndName::Inlet, EndName::Outlet),
        };
        let (Some(outlet), next) = (fitting.end(down), fitting.end(up)) else {
            return tail;
        };
        let out = frame.turned(outlet.direction);
        let stop = frame.at + out * outlet.take_off.value;
        let flow = match node.make {
            Make::Bend { .. } | Make::Fitting { .. } => frame.x,
            Make::About { .. } => out,
        };
        let tail = match outlet.kind {
            EndKind::Spigot | EndKind::Thread => tail,
            EndKind::Hub | EndKind::Insert | EndKind::Ring => {
                let opposed = self.opposed(&tail, part, &frame);
                self.pipe(who, tail, stop, outlet, flow, frame.at, opposed)
            }
        };
        let piece = self.push(Piece {
            id: who.id.clone(),
            what: What::Fitting(part),
            size: outlet.size,
            flow: who.flow,
            frame,
            riser: false,
        });
        self.touch(who, &tail, stop, frame.at);
        self.glue(
            &tail,
            (piece, down),
            outlet.size,
            outlet.kind != EndKind::Thread,
        );
        for (name, wait) in &node.waits {
            waits.extend(
                fitting
                    .end(*name)
                    .map(|end| (*wait, open_at(piece, &frame, end))),
            );
        }
        next.map_or(tail, |inlet| open_at(piece, &frame, inlet))
    }

    /// Whether the fitting before this one and this one are wyes whose branches look to opposite sides, so that a double wye
    /// could take both.
    fn opposed(&self, tail: &Open, part: Part, frame: &Frame) -> bool {
        let before = tail.end.map(|(piece, _)| &self.out.pieces[piece]);
        let wye = |part: Option<Part>| part.is_some_and(|part| part.pattern == Pattern::Wye);
        before.is_some_and(|piece| {
            let both = wye(piece.part()) && wye(Some(part));
            both && piece.frame.y.truncate().dot(frame.y.truncate()) < -0.5
        })
    }

    /// Pipe from the open end to a hub's stop; bushings first where the open end is larger.
    #[expect(
        clippy::too_many_arguments,
        reason = "the two fittings it lies between, and what may be told of them"
    )]
    fn pipe(
        &mut self,
        who: &Who,
        tail: Open,
        stop: DVec3,
        hub: &End,
        flow: DVec3,
        centre: DVec3,
        opposed: bool,
    ) -> Open {
        let tail = self.reduced(who, tail, hub.size, flow);
        self.room(who, &tail, stop, hub, flow, (centre, opposed));
        self.cut(who, tail, stop, &hub.take_off, flow, false)
    }

    /// A coupling on the outer end of the pipe through the wall, and pipe on to `end`, downstream; a bend instead of the
    /// coupling where the line turns. `stands` are the fittings in the line, upstream first, `drop` the centres of the two
    /// eighth bends by which it comes down to its receiver. Gives the ends that others wait for.
    pub(crate) fn away(
        &mut self,
        who: &Who,
        open: Open,
        line: &Away,
        stands: &[Stand],
    ) -> Vec<(Wait, Open)> {
        let pattern = line.bend.unwrap_or(Pattern::Coupling);
        let mut waits = Vec::new();
        let end = line.drop.map_or(line.end, |drop| drop[0]);
        let Some(mut open) = self.hub_on(who, &open, pattern, line.flow, end) else {
            return waits;
        };
        for stand in stands {
            let Some(fitting) = self.catalog.get(stand.part.pattern, stand.part.sizes) else {
                continue;
            };
            let (up, down) = if stand.about {
                (EndName::Outlet, EndName::Inlet)
            } else {
                (EndName::Inlet, EndName::Outlet)
            };
            let (Some(inlet), Some(outlet), Some(branch)) = (
                fitting.end(up),
                fitting.end(down),
                fitting.end(EndName::Branch),
            ) else {
                continue;
            };
            let flow = (end - open.at).normalize_or_zero();
            let stop = stand.at - flow * inlet.take_off.value;
            let reaches = (end - stand.at).dot(flow) >= outlet.reach();
            if !reaches || !self.room_on(who, &open, stop, flow) {
                continue;
            }
            let near = self.down(who, open, stop, &inlet.take_off);
            let with = if stand.about { -flow } else { flow };
            let frame = Frame::new(stand.at, with, stand.toward);
            let piece = self.put_on(who, &near, fitting.part, frame, up);
            waits.push((stand.wait, open_at(piece, &frame, branch)));
            open = open_at(piece, &frame, outlet);
        }
        for (at, next) in line.bends() {
            let Some(below) = self.eighth_down(who, &open, at, next) else {
                return waits;
            };
            open = below;
        }
        if open.at.distance(line.end) >= self.catalog.pipe(open.size).socket_depth.value {
            let none = Dim::new(0.0, 0.0, How::Measured, "");
            self.down(who, open, line.end, &none);
        }
        waits
    }

    /// Pipe down to an eighth bend centred at `at`, its outlet toward `next`; gives the outlet.
    fn eighth_down(&mut self, who: &Who, open: &Open, at: DVec3, next: DVec3) -> Option<Open> {
        let bend = self
            .catalog
            .get(Pattern::EighthBend, Sizes::one(open.size))?;
        let inlet = bend.end(EndName::Inlet)?.take_off.clone();
        let flow = (at - open.at).normalize_or_zero();
        let near = self.down(who, open.clone(), at - flow * inlet.value, &inlet);
        self.hub_on(who, &near, Pattern::EighthBend, flow, next)
    }

    /// Whether there is room for pipe from an open end downstream to a stop; told where there is none.
    fn room_on(&mut self, who: &Who, open: &Open, stop: DVec3, flow: DVec3) -> bool {
        let least = self.catalog.pipe(open.size).shortest_piece();
        let length = (stop - open.at).dot(flow);
        if length < least {
            let says = format!(
                "the pipe before the cleanout in the line outside is {} long, too short for its two sockets",
                units::inches_text(length.max(0.0), 16)
            );
            let would_do = format!(
                "move the cleanout {} farther from the house",
                units::inches_up(least - length)
            );
            let kind = TroubleKind::ShortPiece;
            self.trouble(who, stop, kind, says, &would_do, (length, least));
        }
        length >= least
    }

    /// Pipe downstream from an open end to a point, in sticks no longer than are sold, with couplings between. Gives its
    /// lower end.
    fn down(&mut self, who: &Who, mut open: Open, to: DVec3, other: &Dim) -> Open {
        let size = open.size;
        let stock = self.catalog.pipe(size).stock.last();
        let stick = stock.copied().unwrap_or(f64::INFINITY);
        loop {
            let flow = (to - open.at).normalize_or_zero();
            let left = open.at.distance(to);
            let last = left <= stick + SAME_LENGTH;
            let length = if last {
                left
            } else {
                self.first_stick(size, left, stick)
            };
            let none = Dim::new(0.0, 0.0, How::Measured, "");
            let beyond = if last { other } else { &none };
            let between = length + open.take_off.value + beyond.value;
            let measured = Dim::new(between, 0.0, How::Measured, "");
            let cut = Dim {
                value: length,
                ..measured.minus(&open.take_off).minus(beyond)
            };
            let frame = Frame::new(open.at + flow * length, flow, DVec3::Z);
            let piece = self.push(Piece {
                id: who.id.clone(),
                what: What::Pipe(cut),
                size,
                flow: who.flow,
                frame,
                riser: false,
            });
            self.glue(&open, (piece, EndName::Inlet), size, true);
            let near = Open {
                end: Some((piece, EndName::Outlet)),
                at: frame.at,
                centre: frame.at,
                size,
                take_off: open.take_off,
            };
            if last {
                return near;
            }
            let Some(next) = self.hub_on(who, &near, Pattern::Coupling, flow, to) else {
                return near;
            };
            open = next;
        }
    }

    /// A fitting whose inlet hub sits on a pipe's lower end, its outlet toward `end`; gives the outlet.
    fn hub_on(
        &mut self,
        who: &Who,
        near: &Open,
        pattern: Pattern,
        flow: DVec3,
        end: DVec3,
    ) -> Option<Open> {
        let fitting = self.catalog.get(pattern, Sizes::one(near.size))?;
        let (inlet, outlet) = (fitting.end(EndName::Inlet)?, fitting.end(EndName::Outlet)?);
        let centre = near.at + flow * inlet.take_off.value;
        let frame = Frame::new(
            centre,
            end - centre,
            if pattern == Pattern::Coupling {
                DVec3::Z
            } else {
                -flow
            },
        );
        let piece = self.on_inlet(who, near, fitting.part, frame);
        Some(open_at(piece, &frame, outlet))
    }

    /// A fitting glued by its inlet to an end laid downstream.
    fn on_inlet(&mut self, who: &Who, near: &Open, part: Part, frame: Frame) -> usize {
        self.put_on(who, near, part, frame, EndName::Inlet)
    }

    fn put_on(&mut self, who: &Who, near: &Open, part: Part, frame: Frame, end: EndName) -> usize {
        let piece = self.push(Piece {
            id: who.id.clone(),
            what: What::Fitting(part),
            size: near.size,
            flow: who.flow,
            frame,
            riser: false,
        });
        self.glue(near, (piece, end), near.size, true);
        piece
    }

    /// Bushings down to `size`; a larger pipe upstream of a smaller hub is told.
    pub(crate) fn reduced(&mut self, who: &Who, mut tail: Open, size: Size, flow: DVec3) -> Open {
        if tail.size < size && tail.end.is_some() {
            let says = format!("{size} pipe flows into {}", tail.size);
            self.trouble(
                who,
                tail.at,
                TroubleKind::ReducesWithFlow,
                says,
                "enlarge what is downstream",
                (tail.size.nominal(), size.nominal()),
            );
        }
        while tail.size > size && tail.end.is_some() {
            let bushing = |small: &Size| {
                self.catalog
                    .get(Pattern::FlushBushing, Sizes::reducing(tail.size, *small))
            };
            let found = Size::ALL
                .into_iter()
                .filter(|s| *s >= size && *s < tail.size)
                .find_map(|s| bushing(&s));
            let Some((part, inlet)) =
                found.and_then(|f| Some((f.part, f.end(EndName::Inlet)?.clone())))
            else {
                let says = format!("no bushing takes {size} pipe into a {} hub", tail.size);
                self.trouble(
                    who,
                    tail.at,
                    TroubleKind::NotMade,
                    says,
                    "step down by a size that is made",
                    (0.0, 0.0),
                );
                break;
            };
            let frame = Frame::new(tail.at, flow, DVec3::Z);
            let piece = self.push(Piece {
                id: who.id.clone(),
                what: What::Fitting(part),
                size: tail.size,
                flow: who.flow,
                frame,
                riser: false,
            });
            self.glue(&tail, (piece, EndName::Outlet), tail.size, true);
            let mut open = open_at(piece, &frame, &inlet);
            open.centre = tail.centre;
            open.take_off = tail.take_off.plus(&inlet.take_off);
            tail = open;
        }
        tail
    }

    /// Pipe from the open end to a point, in sticks no longer than are sold, with couplings between.
    pub(crate) fn cut(
        &mut self,
        who: &Who,
        mut tail: Open,
        to: DVec3,
        other: &Dim,
        flow: DVec3,
        riser: bool,
    ) -> Open {
        let size = tail.size;
        let stick = self
            .catalog
            .pipe(size)
            .stock
            .last()
            .copied()
            .unwrap_or(f64::INFINITY);
        let coupling = self.catalog.get(Pattern::Coupling, Sizes::one(size));
        let gap = coupling
            .and_then(|c| c.end(EndName::Inlet))
            .map_or(0.0, |end| end.take_off.value);
        while let Some(coupling) =
            coupling.filter(|_| (tail.at - to).dot(flow) > stick + SAME_LENGTH)
        {
            let up = (to - tail.at).normalize_or_zero();
            let length = self.first_stick(size, (tail.at - to).dot(flow), stick);
            let centre = tail.at + up * (length + gap);
            let none = Dim::new(0.0, 0.0, How::Measured, "");
            tail = self.stick(who, tail, centre - up * gap, &none, flow, riser);
            let frame = Frame::new(centre, -up, DVec3::Z);
            let piece = self.push(Piece {
                id: who.id.clone(),
                what: What::Fitting(coupling.part),
                size,
                flow: who.flow,
                frame,
                riser,
            });
            self.glue(&tail, (piece, EndName::Outlet), size, true);
            let Some(inlet) = coupling.end(EndName::Inlet) else {
                break;
            };
            tail = open_at(piece, &frame, inlet);
            tail.centre = centre;
        }
        self.stick(who, tail, to, other, flow, riser)
    }

    /// How much of a long line its first stick takes: all of it, unless the rest would be too short to join.
    fn first_stick(&self, size: Size, left: f64, stick: f64) -> f64 {
        let least = self.catalog.pipe(size).shortest_piece() + 0.5;
        if left - stick < least {
            stick - least
        } else {
            stick
        }
    }

    fn stick(
        &mut self,
        who: &Who,
        tail: Open,
        to: DVec3,
        other: &Dim,
        flow: DVec3,
        riser: bool,
    ) -> Open {
        let along = tail.at - to;
        let sign = if along.dot(flow) < 0.0 { -1.0 } else { 1.0 };
        let length = along.length() * sign;
        let x = if along.length() > SAME_LENGTH {
            along * sign
        } else {
            flow
        };
        let measured = Dim::new(
            length + tail.take_off.value + other.value,
            0.0,
            How::Measured,
            "",
        );
        let cut = Dim {
            value: length,
            ..measured.minus(&tail.take_off).minus(other)
        };
        let frame = Frame::new(tail.at, x, DVec3::Z);
        let piece = self.push(Piece {
            id: who.id.clone(),
            what: What::Pipe(cut),
            size: tail.size,
            flow: who.flow,
            frame,
            riser,
        });
        self.glue(&tail, (piece, EndName::Outlet), tail.size, true);
        let take_off = Dim::new(0.0, 0.0, How::Measured, "");
        Open {
            end: Some((piece, EndName::Inlet)),
            at: to,
            centre: to,
            size: tail.size,
            take_off,
        }
    }

    /// Tells of a pipe too short for its sockets, or of fittings in each other's place, with what would do.
    fn room(
        &mut self,
        who: &Who,
        tail: &Open,
        stop: DVec3,
        hub: &End,
        flow: DVec3,
        (centre, opposed): (DVec3, bool),
    ) {
        let pipe = self.catalog.pipe(hub.size);
        let least = pipe.shortest_piece();
        let length = (tail.at - stop).dot(flow);
        if tail.end.is_none() || length >= least - 1.0 / 64.0 {
            return;
        }
        let street = length - (pipe.socket_depth.value + 1.0 / 16.0);
        let apart = units::inches_text(tail.centre.distance(centre), 16);
        let move_street = units::inches_text(street.abs(), 16);
        let move_pipe = units::inches_up(least - length);
        let closer = if street > 0.0 {
            "nearer together"
        } else {
            "farther apart"
        };
        let double = if opposed {
            ", or bring both branches in flat to one point, where a double wye takes them"
        } else {
            ""
        };
        let would_do = format!(
            "move them {move_pipe} farther apart, or put a street end into the hub with the two {move_street} {closer}{double}"
        );
        let (kind, says) = if length < 0.0 {
            (
                TroubleKind::OnePlace,
                format!("two fittings stand {apart} centre to centre and want the same place"),
            )
        } else {
            let has = units::inches_text(length, 16);
            (
                TroubleKind::ShortPiece,
                format!(
                    "the {} pipe between two fittings is {has} long, too short for its two sockets",
                    hub.size
                ),
            )
        };
        self.trouble(who, stop, kind, says, &would_do, (length, least));
    }

    /// A street end must be home: its tip at the hub's stop.
    fn touch(&mut self, who: &Who, tail: &Open, stop: DVec3, at: DVec3) {
        let off = tail.at.distance(stop);
        if tail.end.is_some() && off > HOME {
            let says = format!(
                "a fitting stands {} from the hub it should sit in",
                units::inches_text(off, 16)
            );
            self.trouble(
                who,
                at,
                TroubleKind::OnePlace,
                says,
                "move it home",
                (off, 0.0),
            );
        }
    }

    pub(crate) fn trouble(
        &mut self,
        who: &Who,
        at: DVec3,
        kind: TroubleKind,
        says: String,
        would_do: &str,
        figures: (f64, f64),
    ) {
        let (measured, limit) = figures;
        self.out.troubles.push(Trouble {
            run: who.id.clone(),
            at,
            kind,
            says,
            would_do: would_do.to_owned(),
            measured,
            limit,
        });
    }

    fn push(&mut self, piece: Piece) -> usize {
        self.out.pieces.push(piece);
        self.out.pieces.len() - 1
    }

    fn glue(&mut self, near: &Open, far: (usize, EndName), size: Size, glued: bool) {
        let Some(near) = near.end else { return };
        let (Some(a), Some(b)) = (self.matrix(near), self.matrix(far)) else {
            return;
        };
        self.out.joints.push(GlueJoint {
            near,
            far,
            size,
            glued,
            seat: Seat::between(a, b),
        });
    }

    fn matrix(&self, (piece, end): (usize, EndName)) -> Option<glam::DMat3> {
        let piece = &self.out.pieces[piece];
        let (_, outward) = piece.end(end, self.catalog)?;
        Some(end_matrix(
            piece.frame.turned(outward.to_array()),
            piece.frame.z(),
        ))
    }
}

/// The open end of a piece just stood.
pub(crate) fn open_at(piece: usize, frame: &Frame, end: &End) -> Open {
    let at = frame.at + frame.turned(end.direction) * end.take_off.value;
    Open {
        end: Some((piece, end.name)),
        at,
        centre: frame.at,
        size: end.size,
        take_off: end.take_off.clone(),
    }
}
