//! Where a label goes so that no words lie over others, and few lie over lines.

use glam::DVec2;

use crate::canvas::Canvas;
use crate::fonts::{ASCENT, DESCENT, width};
use crate::mark::{Ink, Pen, Style, overlap};
use crate::sheet::Area;

/// Keeps what is taken on a drawing.
#[derive(Clone, Debug)]
pub(crate) struct Placer {
    area: Area,
    taken: Vec<[DVec2; 4]>,
    lines: Vec<(DVec2, DVec2)>,
    faint: Vec<(DVec2, DVec2)>,
    named: Vec<DVec2>,
    breaks_lines: bool,
    crossed: f64,
    left_out: Vec<String>,
}

/// Steps away from the anchor that are tried, points.
const STEPS: [f64; 9] = [5.0, 9.0, 14.0, 20.0, 28.0, 40.0, 55.0, 75.0, 100.0];
/// Directions that are tried at each step.
const DIRECTIONS: usize = 16;
/// What one line under a label costs, in points of distance.
const CROSSED: f64 = 20.0;
/// The same where lines are thick.
const CROSSED_THICK: f64 = 70.0;
/// The same for a name that can be done without, and the most it may cost.
const UNBEARABLE: f64 = 60.0;
/// What one faint line under a label costs: it gives way to the words, but they are easier to read beside it.
const FAINT: f64 = 3.0;
/// What a leader costs that passes over words or marks, each.
const LED_OVER: f64 = 30.0;
/// What it costs to stand nearer to another named place than to its own: a reader would take it for that one's name.
const MISTAKEN: f64 = 60.0;
/// So much nearer to its own place must a label stand than to another, points.
const NEARER: f64 = 3.0;
/// A label that stands off by more than this is led to its place by a line, points.
const LED: f64 = 12.0;
/// An end this near a label, points, counts as under it: a line that leaves along its edge would be lost.
const BESIDE: f64 = 4.0;

impl Placer {
    /// Nothing taken yet; labels stay in the area.
    pub(crate) fn new(area: Area) -> Self {
        Self {
            area,
            taken: Vec::new(),
            lines: Vec::new(),
            faint: Vec::new(),
            named: Vec::new(),
            breaks_lines: false,
            crossed: CROSSED,
            left_out: Vec::new(),
        }
    }

    /// Lines that run straight on give way under words; one that turns or ends there does not, so that none is hidden.
    pub(crate) fn breaking_lines(self) -> Self {
        Self {
            breaks_lines: true,
            ..self
        }
    }

    /// Lines are thick here, and words over one are hard to read: each costs so much, in points of distance.
    pub(crate) fn thick_lines(self) -> Self {
        Self {
            crossed: CROSSED_THICK,
            ..self
        }
    }

    /// No words may lie here: an upright box by two corners.
    pub(crate) fn take(&mut self, low: DVec2, high: DVec2) {
        self.taken.push(corners(low, high));
    }

    /// Whether no words and no marks lie in an upright box by two corners.
    pub(crate) fn is_free(&self, low: DVec2, high: DVec2) -> bool {
        let wanted = corners(low, high);
        self.taken
            .iter()
            .all(|other| overlap(&wanted, other) <= 0.0)
    }

    /// Labels had better not lie over these lines.
    pub(crate) fn avoid(&mut self, points: &[DVec2]) {
        self.lines
            .extend(points.windows(2).map(|pair| (pair[0], pair[1])));
    }

    /// Faint lines (walls, cabinets): labels had better not lie over them either, and where one does they give way.
    pub(crate) fn over(&mut self, points: &[DVec2]) {
        self.faint
            .extend(points.windows(2).map(|pair| (pair[0], pair[1])));
    }

    /// A place that has or gets a label of its own: others had better not stand nearer to it than to theirs.
    pub(crate) fn names(&mut self, at: DVec2) {
        self.named.push(at);
    }

    /// The first lines of the labels that found no room.
    pub(crate) fn left_out(self) -> Vec<String> {
        self.left_out
    }

    /// Puts a label of one or more lines near `anchor`, with a leader when it must stand off. When there is no room for it
    /// anywhere near it is left out, and remembered.
    pub(crate) fn label(
        &mut self,
        canvas: &mut Canvas,
        anchor: DVec2,
        lines: &[&str],
        style: Style,
    ) {
        let size = label_size(lines, style);
        let Some((_, centre, step)) = self.best(anchor, size, self.crossed) else {
            self.left_out.extend(lines.first().map(ToString::to_string));
            return;
        };
        self.put(canvas, anchor, lines, style, (centre, size, step));
    }

    /// A name that can be done without, at whichever of its anchors it stands best: beside all lines, or nowhere.
    pub(crate) fn aside(
        &mut self,
        canvas: &mut Canvas,
        anchors: &[DVec2],
        words: &str,
        style: Style,
    ) {
        let size = label_size(&[words], style);
        let found = anchors.iter().filter_map(|anchor| {
            let (cost, centre, step) = self.best(*anchor, size, UNBEARABLE)?;
            (cost < UNBEARABLE).then_some((cost, *anchor, centre, step))
        });
        if let Some((_, anchor, centre, step)) = found.min_by(|a, b| a.0.total_cmp(&b.0)) {
            self.put(canvas, anchor, &[words], style, (centre, size, step));
        }
    }

    /// Draws a label: its middle, its size and how far it stands off its anchor.
    fn put(
        &mut self,
        canvas: &mut Canvas,
        anchor: DVec2,
        lines: &[&str],
        style: Style,
        (centre, size, step): (DVec2, DVec2, f64),
    ) {
        let low = centre - size / 2.0;
        self.take(low, low + size);
        if self.gives_way(low, low + size) {
            canvas.rect(low, size, None, Some(Ink::WHITE));
        }
        if step > LED {
            let near = anchor.clamp(low, low + size);
            canvas.line(anchor, near, Pen::new(0.35, Ink::GREY));
            self.avoid(&[anchor, near]);
        }
        let mut base = low + DVec2::new(1.0, ASCENT * style.size + 0.5);
        for line in lines {
            canvas.text(base, *line, style);
            base.y += style.size * LEAD;
        }
    }

    /// Whether what lies under a label is wiped: faint lines always; others where this drawing lets lines be broken.
    fn gives_way(&self, low: DVec2, high: DVec2) -> bool {
        if self.crossed(low, high) > 0 {
            return self.breaks_lines && self.run_through(low, high);
        }
        self.faintly_crossed(low, high) > 0
    }

    /// What the best place for a label costs, its middle, and how far that stands off; `crossing` is what each line under
    /// it costs.
    fn best(&self, anchor: DVec2, size: DVec2, crossing: f64) -> Option<(f64, DVec2, f64)> {
        let mut best: Option<(f64, DVec2, f64)> = None;
        for step in STEPS {
            if best.as_ref().is_some_and(|(cost, ..)| *cost <= step) {
                break;
            }
            for n in 0..DIRECTIONS {
                let angle = n as f64 / DIRECTIONS as f64 * std::f64::consts::TAU;
                let way = DVec2::from_angle(angle - std::f64::consts::FRAC_PI_4);
                let centre = anchor + way * step + way * size / 2.0;
                let Some(cost) = self.cost(anchor, centre, size, (step, crossing)) else {
                    continue;
                };
                if best.as_ref().is_none_or(|(least, ..)| cost < *least - 1e-9) {
                    best = Some((cost, centre, step));
                }
            }
        }
        best
    }

    /// `None` where words stand already or the area ends.
    fn cost(
        &self,
        anchor: DVec2,
        centre: DVec2,
        size: DVec2,
        (step, crossing): (f64, f64),
    ) -> Option<f64> {
        let (low, high) = (centre - size / 2.0, centre + size / 2.0);
        let end = self.area.at + self.area.size;
        let inside = low.cmpge(self.area.at).all() && high.cmple(end).all();
        let mine = corners(low, high);
        if !inside || self.taken.iter().any(|other| overlap(&mine, other) > 0.0) {
            return None;
        }
        let crossed = crossing * self.crossed(low, high) as f64
            + FAINT * self.faintly_crossed(low, high) as f64;
        let mistaken = MISTAKEN * self.mistaken(anchor, low, high) as f64;
        Some(step + crossed + mistaken + self.led_over(anchor, low, high, step))
    }

    /// How many other named places a label would be taken for the name of.
    fn mistaken(&self, anchor: DVec2, low: DVec2, high: DVec2) -> usize {
        let away = |at: DVec2| at.distance(at.clamp(low, high));
        let mine = away(anchor) + NEARER;
        let others = self.named.iter().filter(|at| at.distance(anchor) > 1.0);
        others.filter(|at| away(**at) < mine).count()
    }

    /// What a leader from the anchor to the label would cost.
    fn led_over(&self, anchor: DVec2, low: DVec2, high: DVec2, step: f64) -> f64 {
        if step <= LED {
            return 0.0;
        }
        let near = anchor.clamp(low, high);
        let over = self.taken.iter().filter(|corners| {
            let (low, high) = (corners[0], corners[2]);
            let holds = anchor.cmpge(low).all() && anchor.cmple(high).all();
            !holds && passes(anchor, near, low, high)
        });
        LED_OVER * over.count() as f64
    }

    fn faintly_crossed(&self, low: DVec2, high: DVec2) -> usize {
        let lines = self.faint.iter();
        lines.filter(|(a, b)| passes(*a, *b, low, high)).count()
    }

    /// How many lines pass through an upright box.
    fn crossed(&self, low: DVec2, high: DVec2) -> usize {
        self.passing(low, high).count()
    }

    /// Whether lines pass through an upright box, and all of them go on on both sides.
    fn run_through(&self, low: DVec2, high: DVec2) -> bool {
        let within = |end: &DVec2| end.cmpge(low - BESIDE).all() && end.cmple(high + BESIDE).all();
        self.crossed(low, high) > 0
            && self
                .passing(low, high)
                .all(|(a, b)| !within(a) && !within(b))
    }

    fn passing(&self, low: DVec2, high: DVec2) -> impl Iterator<Item = &(DVec2, DVec2)> {
        let lines = self.lines.iter();
        lines.filter(move |(a, b)| passes(*a, *b, low, high))
    }
}

/// From line to line of a label, parts of its size.
const LEAD: f64 = 1.15;

fn label_size(lines: &[&str], style: Style) -> DVec2 {
    let wide = lines.iter().map(|line| width(style.face, style.size, line));
    let more = lines.len().max(1) - 1;
    let high = (ASCENT + DESCENT + LEAD * more as f64) * style.size;
    DVec2::new(wide.fold(0.0, f64::max) + 2.0, high + 1.0)
}

fn corners(low: DVec2, high: DVec2) -> [DVec2; 4] {
    [
        low,
        DVec2::new(high.x, low.y),
        high,
        DVec2::new(low.x, high.y),
    ]
}

/// Whether a line passes through an upright box (slab by slab).
fn passes(a: DVec2, b: DVec2, low: DVec2, high: DVec2) -> bool {
    let along = b - a;
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for axis in 0..2 {
        if along[axis].abs() < 1e-9 {
            if a[axis] < low[axis] || a[axis] > high[axis] {
                return false;
            }
            continue;
        }
        let (s, t) = (
            (low[axis] - a[axis]) / along[axis],
            (high[axis] - a[axis]) / along[axis],
        );
        enter = enter.max(s.min(t));
        leave = leave.min(s.max(t));
    }
    enter <= leave
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_label_does_not_stand_where_it_would_be_taken_for_another_places_name() {
        let area = Area {
            at: DVec2::ZERO,
            size: DVec2::splat(400.0),
        };
        let places = [DVec2::new(200.0, 200.0), DVec2::new(200.0, 212.0)];
        let (mut placer, mut canvas) = (Placer::new(area), Canvas::default());
        places.iter().for_each(|at| placer.names(*at));
        for (at, name) in places.iter().zip(["upper", "lower"]) {
            placer.label(&mut canvas, *at, &[name], Style::new(8.0));
        }
        let away = |at: DVec2, corners: &[DVec2; 4]| at.distance(at.clamp(corners[0], corners[2]));
        let marks = canvas.parts[0].marks.iter();
        let boxes: Vec<_> = marks.filter_map(crate::mark::Mark::word_box).collect();
        assert_eq!(boxes.len(), 2);
        for (n, corners) in boxes.iter().enumerate() {
            assert!(away(places[n], corners) < away(places[1 - n], corners));
        }
    }

    #[test]
    fn twenty_labels_at_one_point_do_not_lie_over_each_other() {
        let area = Area {
            at: DVec2::ZERO,
            size: DVec2::splat(400.0),
        };
        let (mut placer, mut canvas) = (Placer::new(area), Canvas::default());
        for n in 0..20 {
            let name = format!("stub {n}");
            placer.label(&mut canvas, DVec2::splat(200.0), &[&name], Style::new(8.0));
        }
        assert_eq!(placer.left_out(), Vec::<String>::new());
        let boxes: Vec<_> = canvas.parts[0]
            .marks
            .iter()
            .filter_map(crate::mark::Mark::word_box)
            .collect();
        assert_eq!(boxes.len(), 20);
        for (n, a) in boxes.iter().enumerate() {
            assert!(boxes[n + 1..].iter().all(|b| overlap(a, b) <= 0.0));
        }
    }
}
