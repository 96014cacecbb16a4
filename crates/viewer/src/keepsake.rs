//! What the window keeps of a layout beside it, in `NAME.view.ron`: the plan picture with its placing, and the kept
//! viewpoints. Nothing that any check reads; losing the file loses no house.
//!
//! A plan picture from elsewhere (a phone, a stick) is copied beside the layout, so that it is there next time.

use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

use glam::{DMat3, DVec2, DVec3};
use layout::Node;
use layout::node::Kind;

use crate::axis::Axis;
use crate::camera::Pose;
use crate::desk::Desk;
use crate::paper_plan::{Fit, PaperPlan};

/// Most points and viewpoints that are read; a window keeps a handful.
const MOST: usize = 200;

/// Where it is kept: `house.view.ron`.
pub fn beside(file: &Path) -> PathBuf {
    file.with_extension("view.ron")
}

/// The placing of a plan picture.
#[derive(Clone, PartialEq, Debug)]
pub struct Placing {
    /// The picture, relative to the layout's folder.
    pub picture: String,
    /// Where it lies.
    pub fit: Fit,
    /// Points told of it: on the picture, and where they are.
    pub known: Vec<(DVec2, DVec2)>,
    /// How much of it is seen, 0 to 1.
    pub strength: f32,
}

/// A kept viewpoint, free of exaggeration: looked-at point in house inches, turn and rise in radians, distance in feet.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct KeptView {
    /// House inches.
    pub target: DVec3,
    /// Radians.
    pub yaw: f64,
    /// Radians.
    pub pitch: f64,
    /// Feet.
    pub distance: f64,
}

/// All that is kept.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Keepsake {
    /// The plan picture.
    pub paper: Option<Placing>,
    /// Viewpoints, oldest first.
    pub views: Vec<KeptView>,
}

impl Keepsake {
    /// What a desk has to keep.
    pub fn of(desk: &Desk) -> Self {
        Self {
            paper: desk
                .paper
                .as_ref()
                .map(placing)
                .or_else(|| desk.paper_lost.clone()),
            views: desk.kept.iter().map(|pose| kept(pose, desk.axis)).collect(),
        }
    }

    /// As the text of its file.
    pub fn text(&self) -> String {
        let mut out = String::from(
            "// What the window keeps of this layout: the plan picture and how it lies, and viewpoints. No check reads it.\n(\n",
        );
        if let Some(paper) = &self.paper {
            let known = paper
                .known
                .iter()
                .map(|(pixel, at)| format!("({}, {})", pair(*pixel), pair(*at)));
            let known: Vec<String> = known.collect();
            let _ = writeln!(
                out,
                "    paper: (picture: {:?}, map: [{}], known: [{}], strength: {}),",
                paper.picture,
                paper
                    .fit
                    .map
                    .to_cols_array()
                    .map(|n| n.to_string())
                    .join(", "),
                known.join(", "),
                paper.strength
            );
        }
        out.push_str("    views: [\n");
        for view in &self.views {
            let DVec3 { x, y, z } = view.target;
            let _ = writeln!(
                out,
                "        (target: ({x}, {y}, {z}), yaw: {}, pitch: {}, distance: {}),",
                view.yaw, view.pitch, view.distance
            );
        }
        out.push_str("    ],\n)\n");
        out
    }

    /// Reads the text of its file. What cannot be read of it is left out: it is only how the house was looked at.
    pub fn read(text: &str) -> Self {
        let Ok(tree) = layout::parse(text, "") else {
            return Self::default();
        };
        let views = tree.entry("views").map_or(&[][..], |e| e.value.items());
        Self {
            paper: tree
                .entry("paper")
                .and_then(|entry| read_placing(&entry.value)),
            views: views.iter().take(MOST).filter_map(read_view).collect(),
        }
    }
}

fn pair(at: DVec2) -> String {
    format!("({}, {})", at.x, at.y)
}

fn placing(paper: &PaperPlan) -> Placing {
    Placing {
        picture: paper.name.clone(),
        fit: paper.fit,
        known: paper.known.clone(),
        strength: paper.strength,
    }
}

fn kept(pose: &Pose, axis: Axis) -> KeptView {
    KeptView {
        target: axis.house(pose.target),
        yaw: pose.yaw.into(),
        pitch: pose.pitch.into(),
        distance: pose.distance.into(),
    }
}

/// Angles and distances of a pose fit an `f32`.
#[allow(clippy::cast_possible_truncation)]
fn pose(view: KeptView, axis: Axis) -> Pose {
    Pose {
        target: axis.point(view.target),
        yaw: view.yaw as f32,
        pitch: view.pitch as f32,
        distance: view.distance as f32,
    }
}

fn number(node: &Node) -> Option<f64> {
    match &node.kind {
        Kind::Number(text) => text.parse().ok().filter(|value: &f64| value.is_finite()),
        Kind::Fields(_) | Kind::Map(_) | Kind::List(_) => None,
        Kind::Tuple(_) | Kind::Text(_) | Kind::Word(_) => None,
    }
}

fn field(node: &Node, name: &str) -> Option<f64> {
    number(&node.entry(name)?.value)
}

fn point(node: &Node) -> Option<DVec2> {
    match node.items() {
        [x, y] => Some(DVec2::new(number(x)?, number(y)?)),
        _ => None,
    }
}

fn read_placing(node: &Node) -> Option<Placing> {
    let picture = match &node.entry("picture")?.value.kind {
        Kind::Text(name) => name.clone(),
        Kind::Fields(_) | Kind::Map(_) | Kind::List(_) => return None,
        Kind::Tuple(_) | Kind::Word(_) | Kind::Number(_) => return None,
    };
    let known = node.entry("known").map_or(&[][..], |e| e.value.items());
    let told = |node: &Node| match node.items() {
        [pixel, at] => Some((point(pixel)?, point(at)?)),
        _ => None,
    };
    #[allow(clippy::cast_possible_truncation)] // from 0 to 1
    let strength = field(node, "strength")?.clamp(0.0, 1.0) as f32;
    let fit = read_fit(node)?;
    (fit.map.determinant().abs() > f64::MIN_POSITIVE).then(|| Placing {
        picture,
        fit,
        known: known.iter().take(MOST).filter_map(told).collect(),
        strength,
    })
}

/// A map of nine numbers; before pictures were straightened it was a corner and a way to the right.
fn read_fit(node: &Node) -> Option<Fit> {
    let place = |name| point(&node.entry(name)?.value);
    if let (Some(corner), Some(right)) = (place("corner"), place("right")) {
        return Some(Fit::turned(corner, right));
    }
    let map = node.entry("map")?.value.items().iter().map(number);
    let map: Vec<f64> = map.collect::<Option<_>>()?;
    Some(Fit {
        map: DMat3::from_cols_array(&map.try_into().ok()?),
    })
}

fn read_view(node: &Node) -> Option<KeptView> {
    let target = match node.entry("target")?.value.items() {
        [x, y, z] => DVec3::new(number(x)?, number(y)?, number(z)?),
        _ => return None,
    };
    Some(KeptView {
        target,
        yaw: field(node, "yaw")?,
        pitch: field(node, "pitch")?,
        distance: field(node, "distance")?,
    })
}

/// Takes up what was kept of the layout `file`, when it is opened. A picture that is gone is told; its placing stays.
pub fn take_up(desk: &mut Desk, file: &Path) {
    let Ok(text) = fs::read_to_string(beside(file)) else {
        return;
    };
    let keepsake = Keepsake::read(&text);
    let axis = desk.axis;
    let poses = keepsake.views.iter().map(|view| pose(*view, axis));
    desk.kept = poses.filter(Pose::is_sound).collect();
    let Some(placing) = keepsake.paper else {
        return;
    };
    match PaperPlan::placed(&file.with_file_name(&placing.picture), &placing) {
        Ok(paper) => desk.paper = Some(paper),
        Err(why) => {
            desk.paper_wrong = Some(why);
            desk.paper_lost = Some(placing);
        }
    }
}

/// Whether `picture` is the very picture that lies on the desk already.
pub fn lies_there(desk: &Desk, picture: &Path) -> bool {
    let Some(paper) = &desk.paper else {
        return false;
    };
    let bytes = fs::read(picture).ok().zip(fs::read(&paper.file).ok());
    bytes.is_some_and(|(there, here)| there == here)
}

/// Writes what a desk has to keep beside its layout, with the picture if it is from elsewhere.
///
/// # Errors
/// One line, when it cannot be written.
pub fn write(desk: &mut Desk, file: &Path) -> Result<(), String> {
    let told = |why: std::io::Error| format!("how the plan lies can't be kept: {why}");
    if let Some(paper) = &mut desk.paper {
        bring_beside(paper, file).map_err(told)?;
    }
    let keepsake = Keepsake::of(desk);
    let target = beside(file);
    if keepsake == Keepsake::default() && !target.exists() {
        return Ok(());
    }
    let part = file.with_extension("view-part");
    fs::write(&part, keepsake.text())
        .and_then(|()| fs::rename(&part, target))
        .map_err(told)
}

/// Copies a picture into the layout's folder unless it is there: as `house.plan.jpg` for `house.ron`.
fn bring_beside(paper: &mut PaperPlan, file: &Path) -> std::io::Result<()> {
    let folder = |path: &Path| {
        fs::canonicalize(
            path.parent()
                .filter(|p| *p != Path::new(""))
                .unwrap_or(Path::new(".")),
        )
        .ok()
    };
    if folder(&paper.file) == folder(file) {
        return Ok(());
    }
    let ending = paper.file.extension().unwrap_or_default();
    let mut name = file.file_stem().unwrap_or_default().to_owned();
    name.push(".plan.");
    name.push(ending);
    let copy = file.with_file_name(&name);
    fs::copy(&paper.file, &copy)?;
    paper.name = name.to_string_lossy().into_owned();
    paper.file = copy;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn keepsake() -> Keepsake {
        Keepsake {
            paper: Some(Placing {
                picture: "my \"plan\".png".into(),
                fit: Fit {
                    map: DMat3::from_cols_array(&[
                        0.75, -0.001, 1e-6, -0.001, -0.75, 2e-6, -3.25, 410.5, 1.0,
                    ]),
                },
                known: vec![(DVec2::new(10.0, 20.5), DVec2::new(0.0, 480.0))],
                strength: 0.5,
            }),
            views: vec![KeptView {
                target: DVec3::new(1.0, 2.0, -3.5),
                yaw: 0.25,
                pitch: -0.5,
                distance: 40.0,
            }],
        }
    }

    #[test]
    fn what_is_kept_is_read_back() {
        let kept = keepsake();
        assert_eq!(Keepsake::read(&kept.text()), kept);
        assert_eq!(Keepsake::read("(torn"), Keepsake::default());
        let before =
            "(paper: (picture: \"p.png\", corner: (1, 9), right: (2, 0), known: [], strength: 1))";
        let paper = Keepsake::read(before).paper.unwrap();
        assert_eq!(paper.fit.house(DVec2::new(3.0, 4.0)), DVec2::new(7.0, 1.0));
        let odd = "(paper: (picture: 3), views: [(target: (1, 2)), 7])";
        assert_eq!(Keepsake::read(odd), Keepsake::default());
    }

    #[test]
    fn a_picture_from_elsewhere_comes_to_lie_beside_the_layout_and_is_laid_again() {
        let folder = std::env::temp_dir().join(format!("viewer-keepsake-{}", std::process::id()));
        let away = folder.join("away");
        fs::create_dir_all(&away).unwrap();
        let photo = away.join("IMG_1.png");
        let dots = bevy::image::Image::new(
            bevy::render::render_resource::Extent3d {
                width: 8,
                height: 4,
                depth_or_array_layers: 1,
            },
            bevy::render::render_resource::TextureDimension::D2,
            [200; 8 * 4 * 4].to_vec(),
            bevy::render::render_resource::TextureFormat::Rgba8UnormSrgb,
            bevy::asset::RenderAssetUsages::MAIN_WORLD,
        );
        dots.try_into_dynamic().unwrap().save(&photo).unwrap();
        let file = folder.join("house.ron");
        let mut desk = Desk::new(crate::House::default(), "house.ron".into());
        desk.lay_paper(&photo);
        assert_eq!(desk.paper_wrong, None);
        let paper = desk.paper.as_mut().unwrap();
        for (pixel, told) in [((0.0, 4.0), ["0", "0"]), ((8.0, 4.0), ["40'", "0"])] {
            let at = paper.fit.house(DVec2::new(pixel.0, pixel.1));
            paper.click(at);
            paper.tell(&told.map(ToOwned::to_owned)).unwrap();
        }
        let fit = paper.fit;
        write(&mut desk, &file).unwrap();
        assert!(folder.join("house.plan.png").exists());
        let mut again = Desk::new(crate::House::default(), "house.ron".into());
        take_up(&mut again, &file);
        let paper = again.paper.as_ref().unwrap();
        assert_eq!((paper.fit, paper.fitting), (fit, false));
        assert!(lies_there(&again, &photo));
        fs::remove_file(folder.join("house.plan.png")).unwrap();
        let mut gone = Desk::new(crate::House::default(), "house.ron".into());
        take_up(&mut gone, &file);
        assert!(gone.paper.is_none());
        let wrong = gone.paper_wrong.clone().unwrap();
        assert!(wrong.contains("can't be read"), "{wrong}");
        // Its placing waits for the picture to come back.
        assert_eq!(Keepsake::of(&gone), Keepsake::of(&desk));
        fs::remove_dir_all(folder).unwrap();
    }
}
