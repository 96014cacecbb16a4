//! Places labels so that none lies on another: the most important first, fewer as room runs out.

use bevy_egui::egui::{Pos2, Rect, Vec2, pos2, vec2};

/// Room kept between labels, points.
const GAP: f32 = 3.0;
/// Distances from the anchor that are tried, points.
const REACHES: [f32; 5] = [12.0, 24.0, 42.0, 66.0, 96.0];
/// A label stands no farther off than this part of how wide the named places lie spread on screen, so that a house seen from
/// afar has few labels and not a ring of them. The nearest distance is always tried.
const OF_SPREAD: f32 = 0.12;
/// Together they take no more than this part of the square over that width, but the first few, always.
const OF_SQUARE: f32 = 0.25;
/// How many always find a place if there is room.
const FEW: usize = 4;
/// More of first importance than a house has.
const MANY: usize = 12;
/// Directions that are tried, best first: right and up, as on a drawing.
const WAYS: [(f32, f32); 8] = [
    (1.0, -0.6),
    (-1.0, -0.6),
    (0.0, -1.0),
    (1.0, 0.5),
    (-1.0, 0.5),
    (0.0, 1.0),
    (1.0, -1.8),
    (-1.0, -1.8),
];

/// Places of this importance and above are never hidden by a label: stubs and ways out.
const SEEN: u8 = 1;

/// A label that would like to be shown.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Wish {
    /// The place it names.
    pub anchor: Pos2,
    /// Its size.
    pub size: Vec2,
    /// Importance: lower first.
    pub rank: u8,
    /// Distance from the eye; nearer first within a rank.
    pub depth: f32,
}

/// A label that has its place.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Placed {
    /// Which wish.
    pub index: usize,
    /// Where.
    pub rect: Rect,
}

/// The labels that fit into `bounds` beside `taken`, in the order they were placed.
pub fn place(wishes: &[Wish], bounds: Rect, taken: &[Rect]) -> Vec<Placed> {
    let mut order: Vec<usize> = (0..wishes.len())
        .filter(|index| bounds.contains(wishes[*index].anchor))
        .collect();
    order.sort_by(|a, b| {
        let (a, b) = (&wishes[*a], &wishes[*b]);
        a.rank.cmp(&b.rank).then(a.depth.total_cmp(&b.depth))
    });
    let (due, spread) = (is_due(wishes), spread(wishes));
    let dots: Vec<Pos2> = order
        .iter()
        .map(|index| &wishes[*index])
        .filter(|wish| wish.rank <= SEEN)
        .map(|wish| wish.anchor)
        .collect();
    let (farthest, most) = (spread * OF_SPREAD, spread * spread * OF_SQUARE);
    let mut covered = 0.0;
    let mut placed: Vec<Placed> = Vec::new();
    for index in order {
        let wish = &wishes[index];
        let reach = REACHES[REACHES.len() - 1] * 2.0 + wish.size.length();
        let dots: Vec<Pos2> = dots
            .iter()
            .copied()
            .filter(|dot| dot.distance(wish.anchor) < reach)
            .collect();
        let free = |rect: &Rect| {
            let wide = rect.expand(GAP);
            let clear = |other: &Rect| !wide.intersects(*other);
            // A label may not hide a place that another label points to either.
            let shows = |other: &Placed| !wide.contains(wishes[other.index].anchor);
            bounds.contains_rect(*rect)
                && !dots.iter().any(|dot| rect.contains(*dot))
                && taken.iter().all(clear)
                && placed
                    .iter()
                    .all(|other| clear(&other.rect) && shows(other))
        };
        let due = due(wish);
        if !due && covered > most && placed.len() >= FEW {
            continue;
        }
        if let Some(rect) = candidates(wish, if due { f32::INFINITY } else { farthest }).find(free)
        {
            covered += if due { 0.0 } else { rect.area() };
            placed.push(Placed { index, rect });
        }
    }
    placed
}

/// Whether a wish is to be met wherever it lies: those of first importance, unless a village has hundreds of them.
fn is_due(wishes: &[Wish]) -> impl Fn(&Wish) -> bool + use<> {
    let few = wishes.iter().filter(|wish| wish.rank == 0).count() <= MANY;
    move |wish| few && wish.rank == 0
}

/// How far the places lie apart, corner to corner, points; those that are due lie where they must and do not count.
fn spread(wishes: &[Wish]) -> f32 {
    let due = is_due(wishes);
    let places = wishes.iter().filter(|wish| !due(wish));
    let places: Vec<Pos2> = places.map(|wish| wish.anchor).collect();
    Rect::from_points(&places).size().length()
}

fn candidates(wish: &Wish, farthest: f32) -> impl Iterator<Item = Rect> + '_ {
    let within = move |reach: &f32| *reach <= farthest.max(REACHES[0]);
    REACHES.into_iter().filter(within).flat_map(move |reach| {
        WAYS.into_iter().map(move |(x, y)| {
            let half = wish.size / 2.0;
            let centre = wish.anchor + vec2(x * (reach + half.x), y * (reach + half.y));
            Rect::from_center_size(pos2(centre.x.round(), centre.y.round()), wish.size)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wish(x: f32, y: f32, rank: u8, depth: f32) -> Wish {
        Wish {
            anchor: pos2(x, y),
            size: vec2(70.0, 16.0),
            rank,
            depth,
        }
    }

    fn bounds() -> Rect {
        Rect::from_min_size(pos2(0.0, 0.0), vec2(640.0, 400.0))
    }

    #[test]
    fn a_crowd_never_overlaps() {
        let crowd: Vec<Wish> = (0..200u8)
            .map(|n| {
                wish(
                    100.0 + f32::from(n % 20) * 20.0,
                    60.0 + f32::from(n / 20) * 25.0,
                    n % 4,
                    1.0,
                )
            })
            .collect();
        let placed = place(&crowd, bounds(), &[]);
        assert!(placed.len() > 20, "{}", placed.len());
        for (n, one) in placed.iter().enumerate() {
            assert!(bounds().contains_rect(one.rect));
            assert!(
                placed[n + 1..]
                    .iter()
                    .all(|other| !other.rect.intersects(one.rect))
            );
        }
    }

    /// The same crowd a seventh as wide: the labels left stand near their places.
    #[test]
    fn from_afar_there_are_fewer_and_they_stand_near() {
        let crowd = |by: f32| -> Vec<Wish> {
            let of = |n: u8| {
                wish(
                    300.0 + f32::from(n % 5) * by,
                    200.0 + f32::from(n / 5) * by,
                    1,
                    1.0,
                )
            };
            (0..20).map(of).collect()
        };
        let [near, far] = [100.0, 15.0].map(|by| place(&crowd(by), bounds(), &[]));
        assert!(far.len() * 2 < near.len(), "{} {}", far.len(), near.len());
        for one in far {
            let anchor = crowd(15.0)[one.index].anchor;
            assert!(one.rect.clamp(anchor).distance(anchor) <= 2.6 * REACHES[0]);
        }
    }

    #[test]
    fn no_label_hides_the_place_of_a_stub() {
        // Three stubs close together, where the usual place of the first one's label lies over the others.
        let wishes = [
            wish(200.0, 200.0, 1, 1.0),
            wish(240.0, 190.0, 1, 2.0),
            wish(160.0, 190.0, 1, 3.0),
        ];
        let placed = place(&wishes, bounds(), &[]);
        assert_eq!(placed.len(), 3);
        for one in &placed {
            assert!(!wishes.iter().any(|wish| one.rect.contains(wish.anchor)));
        }
    }

    #[test]
    fn the_important_and_the_near_come_first() {
        let tight = Rect::from_min_size(pos2(0.0, 0.0), vec2(110.0, 30.0));
        let wishes = [
            wish(10.0, 25.0, 2, 1.0),
            wish(10.0, 25.0, 0, 9.0),
            wish(10.0, 25.0, 0, 3.0),
        ];
        let placed = place(&wishes, tight, &[]);
        assert_eq!(placed.iter().map(|one| one.index).collect::<Vec<_>>(), [2]);
    }

    #[test]
    fn what_is_taken_and_what_is_off_the_picture_is_left_alone() {
        let panel = Rect::from_min_size(pos2(0.0, 0.0), vec2(300.0, 400.0));
        let placed = place(
            &[wish(310.0, 100.0, 0, 1.0), wish(900.0, 10.0, 0, 1.0)],
            bounds(),
            &[panel],
        );
        assert_eq!(placed.len(), 1);
        assert!(!placed[0].rect.intersects(panel));
    }
}
