//! Drains, runs and cleanouts: which run leads where, that each reaches an exit, that no two join in a circle, and that
//! junctions and increasers lie on the runs they belong to.

use std::collections::VecDeque;

use glam::DVec2;
use units::{SAME_LENGTH, Size};

use super::{Evening, Place, Resolver, What, house::landing_at};
use crate::{
    file::{CleanoutSays, DrainSays, EndSays, Point, RunSays, StartSays},
    limits::BESIDE,
    model::{
        Cleanout, Cleans, Drain, Exit, ExitWay, JoinChoice, Known, Landing, Layout, Run, RunEnd,
        RunStart,
    },
    outline,
};

/// Where a run leads: an index among the drains, or among the runs.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Leads {
    Drain(usize),
    Run(usize),
}

/// How far the search for exits has come with a run.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Reach {
    New,
    OnTheWay,
    Reaches,
    Nowhere,
}

impl Resolver<'_> {
    pub(super) fn drains(&mut self, layout: &mut Layout) {
        let says = self.says;
        if says.drains.is_empty() {
            let what = "where the drain leaves the house, and the tank or sewer it goes to";
            self.tell(Evening::Receiver, "drains", what);
        }
        let drains: Vec<Option<Drain>> =
            says.drains.iter().map(|d| self.drain(d, layout)).collect();
        let leads: Vec<Option<Leads>> = says.runs.iter().map(|r| self.leads(r)).collect();
        let starts: Vec<Option<(RunStart, DVec2)>> =
            says.runs.iter().map(|r| self.start(r, layout)).collect();
        let order = self.outward(&leads, &drains, &starts);
        let mut built: Vec<Option<(Run, Vec<DVec2>)>> = vec![None; says.runs.len()];
        for n in order {
            if let (Some(lead), Some((start, at))) = (leads[n], starts[n].clone()) {
                built[n] = self.run(&says.runs[n], lead, (start, at), &drains, &built);
            }
        }
        layout.drains = drains.into_iter().flatten().collect();
        layout.runs = built.into_iter().flatten().map(|(run, _)| run).collect();
        self.held
            .extend(layout.drains.iter().map(|drain| drain.id.clone()));
        self.held
            .extend(layout.runs.iter().map(|run| run.id.clone()));
        layout.cleanouts = says
            .cleanouts
            .iter()
            .filter_map(|c| self.cleanout(c, layout))
            .collect();
        self.without_run(layout);
        keep_held_starts(layout);
    }

    fn drain(&mut self, says: &DrainSays, layout: &Layout) -> Option<Drain> {
        let id = &says.name.id;
        self.receiver_to_tell(says);
        if says.exit.at.is_none() {
            let what = "where it leaves the foundation (exit at); its runs wait for that";
            self.tell(Evening::Runs, id, what);
        }
        let told = says.exit.at.as_ref()?;
        let at = self.point(told)?;
        let at = self.on_form(told, at, layout);
        self.holds(&says.name).then(|| Drain {
            id: id.clone(),
            exit: Exit {
                at,
                way: says.exit.way.unwrap_or(ExitWay::Either),
                size: says.exit.size,
                sleeve: says.exit.sleeve,
                sleeve_bottom: says.exit.sleeve_bottom,
                cored: says.exit.cored.unwrap_or_default(),
            },
            line: says.line.clone(),
            receiver: says.receiver.clone(),
        })
    }

    fn receiver_to_tell(&mut self, says: &DrainSays) {
        let id = &says.name.id;
        let invert = says.receiver.as_ref().and_then(|r| r.invert);
        let known = says.receiver.as_ref().map(|r| r.known);
        if says.floor_needed {
            let what = format!(
                "the floor's own elevation; the receiver of {:?} is told by elevation",
                id.as_str()
            );
            self.tell(Evening::Receiver, "floor_elevation", what);
        } else if invert.is_none() {
            let what = "how far below the floor the inlet of its tank or sewer lies; its fall is not judged until then";
            self.tell(Evening::Receiver, id, what);
        } else if known == Some(Known::Unknown) {
            let what = "how the level of its receiver is known: measured or told";
            self.tell(Evening::Receiver, id, what);
        }
        if says.line.length.is_none() {
            let what = "how long the line outside is; its fall is not judged until then";
            self.tell(Evening::Receiver, id, what);
        }
    }

    /// An exit taken onto the outside of the form. One measured from the studs stands the ledge short of it.
    fn on_form(&mut self, told: &Point, at: DVec2, layout: &Layout) -> DVec2 {
        let Some(slab) = &layout.slab else { return at };
        let mut ring = slab.outline.clone();
        ring.extend(slab.outline.first());
        let Some(found) = outline::nearest(&ring, at) else {
            return at;
        };
        if found.off > self.ledge + BESIDE {
            let wrong = format!(
                "the exit lies {:.1} in off the outside of the form",
                found.off
            );
            self.wrong_at(
                &told.span,
                wrong,
                format!("write a point on it; the nearest is {}", spoken(found.at)),
            );
        }
        found.at
    }

    fn leads(&mut self, says: &RunSays) -> Option<Leads> {
        let Some(to) = &says.to else {
            let what =
                "where it goes (to): a drain, or the run it joins; it is left out until then";
            self.tell(Evening::Runs, &says.name.id, what);
            return None;
        };
        let Some(&number) = self.index.get(&to.item.id) else {
            self.nothing_called(&to.item, &[What::Run, What::Drain]);
            return None;
        };
        let item = self.items[number];
        match item.what {
            What::Drain => Some(Leads::Drain(item.index)),
            What::Run => Some(Leads::Run(item.index)),
            What::Zone
            | What::Block
            | What::Wall
            | What::Cabinet
            | What::BoxOut
            | What::Room
            | What::Fixture
            | What::Cleanout
            | What::Service => {
                let wrong = format!(
                    "the run reaches nothing: {:?} is {}",
                    to.item.id.as_str(),
                    item.what.a()
                );
                self.wrong(&to.item, wrong, "name a drain, or the run it joins");
                None
            }
        }
    }

    fn start(&mut self, says: &RunSays, layout: &Layout) -> Option<(RunStart, DVec2)> {
        match &says.from {
            None => {
                let what = "where it starts (from): a fixture, a cleanout or a point; it is left out until then";
                self.tell(Evening::Runs, &says.name.id, what);
                None
            }
            Some(StartSays::Point(point)) => self.point(point).map(|at| (RunStart::Point(at), at)),
            Some(StartSays::Item(name)) => {
                let (number, item) = self.find(name, &[What::Fixture, What::Cleanout])?;
                let Some(Place::Spot(at)) = self.place(number, &name.span) else {
                    return self.start_waits(says);
                };
                if item.what == What::Cleanout {
                    return Some((RunStart::Cleanout(name.id.clone()), at));
                }
                // A fixture of unknown kind stands somewhere, but is not in the layout.
                let held =
                    self.says.fixtures[item.index].kind.is_some() || layout.fixtures.is_empty();
                let start = (RunStart::Fixture(name.id.clone()), at);
                if held {
                    Some(start)
                } else {
                    self.start_waits(says)
                }
            }
        }
    }

    fn start_waits<T>(&mut self, says: &RunSays) -> Option<T> {
        let what = "what it starts at is not told yet; it is left out until then";
        self.tell(Evening::Runs, &says.name.id, what);
        None
    }

    /// The runs that reach a drain, each after the run it joins.
    fn outward(
        &mut self,
        leads: &[Option<Leads>],
        drains: &[Option<Drain>],
        starts: &[Option<(RunStart, DVec2)>],
    ) -> Vec<usize> {
        let reach = self.reach(leads, drains, starts);
        let mut joined: Vec<Vec<usize>> = vec![Vec::new(); leads.len()];
        let mut order = VecDeque::new();
        for (n, lead) in leads.iter().enumerate() {
            match (reach[n], lead) {
                (Reach::Reaches, Some(Leads::Drain(_))) => order.push_back(n),
                (Reach::Reaches, Some(Leads::Run(into))) => joined[*into].push(n),
                (Reach::New | Reach::OnTheWay | Reach::Nowhere, _) | (_, None) => {}
            }
        }
        let mut done = Vec::new();
        while let Some(n) = order.pop_front() {
            done.push(n);
            order.extend(&joined[n]);
        }
        done
    }

    fn reach(
        &mut self,
        leads: &[Option<Leads>],
        drains: &[Option<Drain>],
        starts: &[Option<(RunStart, DVec2)>],
    ) -> Vec<Reach> {
        let says = self.says;
        let mut reach = vec![Reach::New; leads.len()];
        for first in 0..leads.len() {
            let mut way = Vec::new();
            let mut n = first;
            let end = loop {
                match reach[n] {
                    Reach::Reaches => break Reach::Reaches,
                    Reach::Nowhere => break Reach::Nowhere,
                    Reach::OnTheWay => {
                        self.drain_circle(&way, n);
                        break Reach::Nowhere;
                    }
                    Reach::New => {}
                }
                reach[n] = Reach::OnTheWay;
                way.push(n);
                let stands = starts[n].is_some() && self.holds(&says.runs[n].name);
                match leads[n] {
                    Some(Leads::Run(into)) if stands => n = into,
                    Some(Leads::Drain(drain)) if stands && drains[drain].is_some() => {
                        break Reach::Reaches;
                    }
                    Some(Leads::Run(_) | Leads::Drain(_)) | None => break Reach::Nowhere,
                }
            };
            self.waiting(&way, end, leads, starts);
            for run in way {
                reach[run] = end;
            }
        }
        reach
    }

    /// Tells the runs that are whole but lead to one that is not.
    fn waiting(
        &mut self,
        way: &[usize],
        end: Reach,
        leads: &[Option<Leads>],
        starts: &[Option<(RunStart, DVec2)>],
    ) {
        if end == Reach::Reaches {
            return;
        }
        for &n in way {
            if leads[n].is_some() && starts[n].is_some() {
                let what = "what it leads to does not reach an exit yet; it is left out until then";
                self.tell(Evening::Runs, &self.says.runs[n].name.id, what);
            }
        }
    }

    fn drain_circle(&mut self, way: &[usize], again: usize) {
        let says = self.says;
        let start = way.iter().position(|n| *n == again).unwrap_or(0);
        let ring = way[start..].iter().chain([&again]);
        // A ring of thousands is told by its first few.
        let names: Vec<String> = ring
            .take(8)
            .map(|n| format!("{:?}", says.runs[*n].name.id.as_str()))
            .collect();
        let wrong = format!("the runs join in a circle: {}", names.join(" into "));
        let at = says.runs[again]
            .to
            .as_ref()
            .map_or(&says.runs[again].name, |to| &to.item);
        self.wrong(at, wrong, "let one of them lead to a drain");
    }

    /// One run, with its plan line; the run it joins is built already.
    fn run(
        &mut self,
        says: &RunSays,
        lead: Leads,
        (from, start): (RunStart, DVec2),
        drains: &[Option<Drain>],
        built: &[Option<(Run, Vec<DVec2>)>],
    ) -> Option<(Run, Vec<DVec2>)> {
        let mut line = vec![start];
        line.extend(says.via.iter().filter_map(|p| self.point(p)));
        let (to, end) = self.run_end(says, lead, drains, built)?;
        line.extend(end);
        line.dedup_by(|b, a| a.distance(*b) < SAME_LENGTH);
        if line.len() < 2 && end.is_some() {
            let right = "let it end somewhere else, or leave it out";
            self.wrong(&says.name, "the run starts and ends in one place", right);
            return None;
        }
        let corners = match end {
            Some(_) => &line[1..line.len() - 1],
            None => &line[1..],
        };
        let via = corners.to_vec();
        let increasers = self.increasers(says, &line, end.is_some());
        let run = Run {
            id: says.name.id.clone(),
            from,
            via,
            to,
            size: says.size,
            increasers,
            menu: says.menu.clone(),
            start_invert: says.start_invert,
            joins: says.joins.unwrap_or(JoinChoice::Any),
        };
        Some((run, line))
    }

    fn run_end(
        &mut self,
        says: &RunSays,
        lead: Leads,
        drains: &[Option<Drain>],
        built: &[Option<(Run, Vec<DVec2>)>],
    ) -> Option<(RunEnd, Option<DVec2>)> {
        match lead {
            Leads::Drain(drain) => {
                let drain = drains[drain].as_ref()?;
                Some((RunEnd::Drain(drain.id.clone()), Some(drain.exit.at)))
            }
            Leads::Run(into) => {
                let (into, line) = built[into].as_ref()?;
                let at = self.junction(says.to.as_ref(), into, line);
                let run = into.id.clone();
                Some((RunEnd::Run { run, at }, at))
            }
        }
    }

    /// A junction taken onto the run it is told on.
    fn junction(&mut self, to: Option<&EndSays>, into: &Run, line: &[DVec2]) -> Option<DVec2> {
        let told = to?.at.as_ref()?;
        let at = self.point(told)?;
        let open = matches!(into.to, RunEnd::Run { at: None, .. });
        Some(
            self.on_line(
                told,
                at,
                line,
                open,
                &format!("the junction lies {{}} off the run {:?}", into.id.as_str()),
            )
            .map_or(at, |n| n.at),
        )
    }

    /// The nearest point of a run's line to `at`, and a mistake when that is not it. Past the last corner told of a run
    /// that ends where its branch happens to meet (`open`), nobody knows yet where the line lies.
    fn on_line(
        &mut self,
        told: &Point,
        at: DVec2,
        line: &[DVec2],
        open: bool,
        wrong: &str,
    ) -> Option<outline::Nearest> {
        let found = outline::nearest(line, at)?;
        if found.off <= BESIDE {
            return Some(found);
        }
        if open {
            return None;
        }
        let wrong = wrong.replace("{}", &format!("{:.1} in", found.off));
        let right = format!("write a point on it; the nearest is {}", spoken(found.at));
        self.wrong_at(&told.span, wrong, right);
        Some(found)
    }

    fn increasers(&mut self, says: &RunSays, line: &[DVec2], ended: bool) -> Vec<(DVec2, Size)> {
        let mut kept = Vec::new();
        let (mut station, mut size) = (0.0, says.size);
        for (told, larger) in &says.increasers {
            let Some(at) = self.point(told) else { continue };
            if let Some(before) = size.filter(|before| before >= larger) {
                let wrong = format!("{larger} is not more than the {before} before it");
                self.wrong_at(&told.span, wrong, "a drain never grows smaller downstream");
                continue;
            }
            let found = self.on_line(told, at, line, !ended, "the increaser lies {} off its run");
            if found.is_some_and(|found| found.station < station) {
                let right = "write increasers from upstream to downstream";
                self.wrong_at(
                    &told.span,
                    "this increaser lies upstream of the one before it",
                    right,
                );
                continue;
            }
            station = found.map_or(station, |found| found.station);
            size = Some(*larger);
            kept.push((found.map_or(at, |found| found.at), *larger));
        }
        kept
    }

    fn cleanout(&mut self, says: &CleanoutSays, layout: &Layout) -> Option<Cleanout> {
        let id = &says.name.id;
        if says.at.is_none() {
            self.tell(
                Evening::Runs,
                id,
                "where the cleanout comes up; it is left out until then",
            );
        }
        let on = says
            .on
            .as_ref()
            .filter(|name| self.find(name, &[What::Run]).is_some());
        let outside = says
            .outside
            .as_ref()
            .filter(|name| self.find(name, &[What::Drain]).is_some());
        let named = says.landing.as_ref().and_then(|l| self.named_landing(l));
        if !self.holds(&says.name) {
            return None;
        }
        let number = *self.index.get(id)?;
        let Place::Spot(at) = self.place(number, &says.name.span)? else {
            return None;
        };
        let by_point = self.landing_by_point(says.at.as_ref().map(|p| &p.form));
        let landing = named.or(by_point).or_else(|| landing_at(at, layout, false));
        Some(Cleanout {
            id: id.clone(),
            at,
            on: on
                .map(|name| name.id.clone())
                .filter(|id| self.held.contains(id)),
            outside: outside
                .map(|name| name.id.clone())
                .filter(|id| self.held.contains(id)),
            size: says.size,
            cleans: self.cleans(says),
            boot: says.boot,
            top: says.top.unwrap_or_default(),
            landing: self.kept_landing(landing.unwrap_or(Landing::Floor)),
        })
    }

    /// Which way a cleanout cleans; `two_way: true` is short for both.
    fn cleans(&mut self, says: &CleanoutSays) -> Cleans {
        let both = |two_way| {
            if two_way {
                Cleans::Both
            } else {
                Cleans::Downstream
            }
        };
        let short = says.two_way.map(both);
        let clash = match (says.two_way, says.cleans) {
            (Some(true), Some(way)) => way != Cleans::Both,
            (Some(false), Some(way)) => way == Cleans::Both,
            (Some(_), None) | (None, _) => false,
        };
        if clash {
            let wrong = "two_way and cleans say different things";
            self.wrong(&says.name, wrong, "keep one of them");
        }
        says.cleans.or(short).unwrap_or_default()
    }

    fn without_run(&mut self, layout: &Layout) {
        let told = self.says.runs.iter().filter_map(|run| match &run.from {
            Some(StartSays::Item(name)) => Some(&name.id),
            Some(StartSays::Point(_)) | None => None,
        });
        let drained: std::collections::BTreeSet<&units::Id> = told.collect();
        for fixture in &layout.fixtures {
            if !drained.contains(&fixture.id) {
                self.tell(
                    Evening::Runs,
                    &fixture.id,
                    "how it drains: no run starts at it",
                );
            }
        }
    }
}

/// A point in feet from the form's corner, as a message says it.
fn spoken(at: DVec2) -> String {
    let feet = |inches| units::feet_inches(inches, 16);
    format!(
        "{} east and {} north of the form's corner",
        feet(at.x),
        feet(at.y)
    )
}

/// Drops what points at something the layout does not hold.
fn keep_held_starts(layout: &mut Layout) {
    let fixtures: std::collections::BTreeSet<_> =
        layout.fixtures.iter().map(|f| f.id.clone()).collect();
    for fixture in &mut layout.fixtures {
        if let crate::model::Vent::Common(id) | crate::model::Vent::Wet(id) = &fixture.vent
            && !fixtures.contains(id)
        {
            fixture.vent = crate::model::Vent::Unknown;
        }
    }
}
