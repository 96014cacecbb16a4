//! A drawn plan, scanned or photographed, laid on the slab under the pipes: squared and scaled by two points whose places are
//! known, and straightened by four.

mod fit;
mod ui;

use std::path::{Path, PathBuf};

pub use fit::Fit;
pub(crate) use ui::ASLANT;
pub use ui::{PaperAsk, paper_paint, paper_ui, paper_wrong_ui, select_all};

use bevy_egui::egui::{Color32, ColorImage};
use glam::DVec2;

/// Longest side of a picture that is taken, pixels; larger ones are refused rather than left to the driver.
const LONGEST: u32 = 8192;
/// So many points square and scale a picture.
pub(crate) const TO_SQUARE: usize = 2;
/// And so many straighten one that was taken aslant.
pub(crate) const TO_STRAIGHTEN: usize = 4;
/// So much of the told points' reach is shown beyond them on each side: where a plan has its lengths.
const MARGIN: f64 = 0.2;
/// Longest side that is shown, pixels.
const SHOWN: usize = 2048;
/// Shortest side of an image for seeing from afar, pixels.
const SMALLEST: usize = 64;

/// A plan on the slab.
#[derive(Clone, Debug)]
pub struct PaperPlan {
    /// The picture's name.
    pub name: String,
    /// Where it was read.
    pub file: PathBuf,
    /// Its pixels, at most so many a side as can be shown; then the same at a half, a quarter and so on, to be seen from afar.
    pub images: Vec<ColorImage>,
    /// What tells its dots from another picture's of the same name.
    pub dots: u64,
    /// Where it lies.
    pub fit: Fit,
    /// Points told so far: on the picture, and where they are.
    pub known: Vec<(DVec2, DVec2)>,
    /// The point clicked last, on the picture, and what is typed of its place.
    pub asked: Option<(DVec2, [String; 2])>,
    /// How much of it is seen, 0 to 1.
    pub strength: f32,
    /// Whether clicks are points on the picture.
    pub fitting: bool,
}

impl PaperPlan {
    /// Reads a PNG or a JPEG and lays it over the plan rectangle from `low` to `high`.
    ///
    /// # Errors
    /// One line, when it is no picture that can be shown.
    pub fn read(file: &Path, low: DVec2, high: DVec2) -> Result<Self, String> {
        let images = ever_smaller(pixels(file)?);
        Ok(Self {
            name: file
                .file_name()
                .map(|name| name.to_string_lossy().into_owned())
                .unwrap_or_default(),
            file: file.to_owned(),
            fit: Fit::over(size_of(&images), low, high),
            dots: hashed(&images),
            images,
            known: Vec::new(),
            asked: None,
            strength: 0.75,
            fitting: true,
        })
    }

    /// Reads a picture and lays it as it lay before.
    ///
    /// # Errors
    /// As [`PaperPlan::read`].
    pub fn placed(file: &Path, placing: &crate::keepsake::Placing) -> Result<Self, String> {
        let plan = Self::read(file, DVec2::ZERO, DVec2::ONE)?;
        Ok(Self {
            fit: placing.fit,
            known: placing.known.clone(),
            strength: placing.strength,
            fitting: placing.known.len() < TO_SQUARE,
            ..plan
        })
    }

    /// Where its corners lie, going round.
    pub fn corners(&self) -> [DVec2; 4] {
        let DVec2 { x, y } = self.size();
        [(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)].map(|(x, y)| self.fit.house(DVec2::new(x, y)))
    }

    /// The corners of what there is to be looked at: once four points are told what lies round them, before that all of it.
    pub fn reach(&self) -> [DVec2; 4] {
        let places = || self.known.iter().map(|(_, at)| *at);
        let (Some(low), Some(high)) = (places().reduce(DVec2::min), places().reduce(DVec2::max))
        else {
            return self.corners();
        };
        if self.known.len() < TO_STRAIGHTEN {
            return self.corners();
        }
        let margin = (high - low) * MARGIN;
        let (low, high) = (low - margin, high + margin);
        [low, low.with_x(high.x), high, low.with_y(high.y)]
    }

    /// Pixels across and down.
    fn size(&self) -> DVec2 {
        size_of(&self.images)
    }

    /// Moves the whole picture by so much east and north, with what is known of it: the house's zero has moved.
    pub fn shift(&mut self, by: DVec2) {
        self.fit = self.fit.shifted(by);
        for (_, at) in &mut self.known {
            *at += by;
        }
    }

    /// A click at a plan point: the point of the picture there is to be told.
    pub fn click(&mut self, at: DVec2) {
        let told = [at.x, at.y].map(|inches| units::feet_inches(inches, 8));
        self.asked = Some((self.fit.pixel(at), told));
    }

    /// Where the asked point is: after the second, the picture is squared and scaled; after the fourth, straightened.
    ///
    /// # Errors
    /// When a length cannot be read, or no camera could have seen those places so. The point is asked for again then.
    pub fn tell(&mut self, typed: &[String; 2]) -> Result<(), String> {
        let Some((pixel, _)) = &self.asked else {
            return Ok(());
        };
        let read = |text: &String| {
            units::Length::parse(text.trim_end_matches('"'))
                .map(units::Length::inches)
                .map_err(|why| why.to_string())
        };
        let at = DVec2::new(read(&typed[0])?, read(&typed[1])?);
        let mut known = self.known.clone();
        known.push((*pixel, at));
        if let Some(fit) = Fit::by(&known, self.size()) {
            self.fit = fit?;
        }
        self.fitting = known.len() < TO_SQUARE || known.len() == TO_STRAIGHTEN - 1;
        self.known = known;
        self.asked = None;
        Ok(())
    }

    /// Whether a click is a point of it: until it is squared, and while its question is `asked` until it is straightened.
    pub fn takes(&self, asked: bool) -> bool {
        self.fitting || asked && self.known.len() < TO_STRAIGHTEN
    }

    /// Takes the asked point back, else the one told last. It lies by what is left of them.
    pub fn back(&mut self) {
        if self.asked.take().is_some() {
            return;
        }
        self.known.pop();
        if let Some(Ok(fit)) = Fit::by(&self.known, self.size()) {
            self.fit = fit;
        }
        self.fitting = self.known.len() < TO_SQUARE;
    }

    /// Two more points are to be told, that straighten it.
    pub fn straighten(&mut self) {
        self.fitting = self.known.len() < TO_STRAIGHTEN;
    }

    /// Starts over with its points.
    pub fn again(&mut self) {
        self.known.clear();
        self.asked = None;
        self.fitting = true;
    }
}

/// Dots of a picture, four bytes each, row by row.
#[derive(Debug)]
struct Dots {
    width: u32,
    height: u32,
    bytes: Vec<u8>,
}

fn pixels(file: &Path) -> Result<ColorImage, String> {
    let name = file.display().to_string();
    let bytes = std::fs::read(file).map_err(|why| format!("{name} can't be read: {why}"))?;
    let dots = if bytes.starts_with(&[0xff, 0xd8]) {
        of_jpeg(&bytes, &name)?
    } else {
        of_png(&bytes, &name)?
    };
    let shown = ColorImage::from_rgba_unmultiplied(
        [dots.width, dots.height].map(|n| n as usize),
        &dots.bytes,
    );
    Ok(shown_whole(shown))
}

/// Halved until it can be shown; one that is a line of dots stays as it is.
fn shown_whole(image: ColorImage) -> ColorImage {
    let fits = |image: &ColorImage| image.size.iter().all(|side| *side <= SHOWN);
    match halved(&image) {
        Some(smaller) if !fits(&image) => shown_whole(smaller),
        _ => image,
    }
}

fn hashed(images: &[ColorImage]) -> u64 {
    use std::hash::{DefaultHasher, Hash, Hasher};
    let mut hasher = DefaultHasher::new();
    images.first().map(|image| &image.pixels).hash(&mut hasher);
    hasher.finish()
}

/// Pixels across and down.
fn size_of(images: &[ColorImage]) -> DVec2 {
    let size = images.first().map_or([1, 1], |image| image.size);
    DVec2::from_array(size.map(to_f64))
}

/// An image, and the same at a half, a quarter and so on: a driver shows every dot of one or none, and thin lines would break.
fn ever_smaller(image: ColorImage) -> Vec<ColorImage> {
    let large = |image: &ColorImage| image.size.iter().all(|side| *side >= SMALLEST);
    let smaller = |image: &ColorImage| halved(image).filter(large);
    std::iter::successors(Some(image), smaller).collect()
}

/// Half as large, each dot the mean of four; none for a line of dots.
fn halved(image: &ColorImage) -> Option<ColorImage> {
    let [width, height] = image.size.map(|side| side / 2);
    if width.min(height) == 0 {
        return None;
    }
    let dot = |x: usize, y: usize| {
        let at = |(dx, dy): (usize, usize)| {
            image.pixels[(2 * y + dy) * image.size[0] + 2 * x + dx].to_array()
        };
        let four = [(0, 0), (1, 0), (0, 1), (1, 1)].map(at);
        let mean = |part: usize| {
            let sum: u16 = four.iter().map(|dot| u16::from(dot[part])).sum();
            u8::try_from((sum + 2) / 4).unwrap_or(u8::MAX)
        };
        Color32::from_rgba_premultiplied(mean(0), mean(1), mean(2), mean(3))
    };
    let dots = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
    let dots = dots.map(|(x, y)| dot(x, y)).collect();
    Some(ColorImage::new([width, height], dots))
}

fn not_too_large(name: &str, width: u32, height: u32) -> Result<(), String> {
    if width.max(height) > LONGEST {
        return Err(format!(
            "{name} is {width} by {height} pixels; each side may have {LONGEST}"
        ));
    }
    Ok(())
}

fn of_jpeg(bytes: &[u8], name: &str) -> Result<Dots, String> {
    use zune_jpeg::zune_core::{
        bytestream::ZCursor, colorspace::ColorSpace, options::DecoderOptions,
    };
    let options = DecoderOptions::default().jpeg_set_out_colorspace(ColorSpace::RGBA);
    let mut decoder = zune_jpeg::JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    let broken = |why| format!("{name} is a broken JPEG: {why}");
    decoder.decode_headers().map_err(broken)?;
    let info = decoder
        .info()
        .ok_or_else(|| format!("{name} is a broken JPEG"))?;
    let [width, height] = [info.width, info.height].map(u32::from);
    not_too_large(name, width, height)?;
    let bytes = decoder.decode().map_err(broken)?;
    if bytes.len() != width as usize * height as usize * 4 {
        return Err(format!(
            "{name} has pixels of a kind that can't be shown; save it as PNG"
        ));
    }
    Ok(Dots {
        width,
        height,
        bytes,
    })
}

fn of_png(bytes: &[u8], name: &str) -> Result<Dots, String> {
    use bevy::asset::RenderAssetUsages;
    use bevy::image::{CompressedImageFormats, Image, ImageSampler, ImageType};
    let image = Image::from_buffer(
        bytes,
        ImageType::Extension("png"),
        CompressedImageFormats::NONE,
        true,
        ImageSampler::Default,
        RenderAssetUsages::MAIN_WORLD,
    );
    let image = image.map_err(|_| {
        format!("{name} is neither a PNG nor a JPEG; save the picture as one of them")
    })?;
    not_too_large(name, image.width(), image.height())?;
    let image = eight_bits(image).try_into_dynamic().map_err(|_| {
        format!("{name} has pixels of a kind that can't be shown; save it as plain PNG")
    })?;
    let image = image.to_rgba8();
    Ok(Dots {
        width: image.width(),
        height: image.height(),
        bytes: image.into_raw(),
    })
}

/// Grey or colour of sixteen bits, as some scanners write it, as colour of eight; anything else as it is.
fn eight_bits(image: bevy::image::Image) -> bevy::image::Image {
    use bevy::render::render_resource::{TextureDimension, TextureFormat};
    let size = image.texture_descriptor.size;
    let of_eight = |colours| {
        let format = TextureFormat::Rgba8UnormSrgb;
        let usage = image.asset_usage;
        bevy::image::Image::new(size, TextureDimension::D2, colours, format, usage)
    };
    match (&image.data, image.texture_descriptor.format) {
        (Some(data), TextureFormat::R16Uint | TextureFormat::R16Unorm) => {
            let grey = data
                .chunks_exact(2)
                .map(|pair| u16::from_ne_bytes([pair[0], pair[1]]).to_be_bytes()[0]);
            let colours = grey.flat_map(|grey| [grey, grey, grey, 255]).collect();
            of_eight(colours)
        }
        (Some(data), TextureFormat::Rgba16Uint | TextureFormat::Rgba16Unorm) => {
            let high = |pair: &[u8]| u16::from_ne_bytes([pair[0], pair[1]]).to_be_bytes()[0];
            of_eight(data.chunks_exact(2).map(high).collect())
        }
        _ => image,
    }
}

#[allow(clippy::cast_precision_loss)]
fn to_f64(n: usize) -> f64 {
    n as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plan() -> PaperPlan {
        PaperPlan {
            name: "plan.png".into(),
            file: PathBuf::new(),
            images: vec![ColorImage::filled([100, 50], Color32::WHITE)],
            dots: 0,
            fit: Fit::over(
                DVec2::new(100.0, 50.0),
                DVec2::ZERO,
                DVec2::new(400.0, 400.0),
            ),
            known: vec![],
            asked: None,
            strength: 1.0,
            fitting: true,
        }
    }

    #[test]
    fn two_told_points_square_and_scale_it() {
        let mut plan = plan();
        for (pixel, told) in [
            ((10.0, 40.0), ["0 in", "0 in"]),
            ((90.0, 40.0), ["40'-0\"", "0 in"]),
        ] {
            let at = plan.fit.house(DVec2::new(pixel.0, pixel.1));
            plan.click(at);
            plan.tell(&told.map(ToOwned::to_owned)).unwrap();
        }
        assert!(!plan.fitting);
        // 80 pixels are 40 ft: 6 in a pixel; 20 pixels up are 10 ft north.
        let at = plan.fit.house(DVec2::new(50.0, 20.0));
        assert!(at.distance(DVec2::new(240.0, 120.0)) < 1e-6, "{at}");
    }

    #[test]
    fn four_told_points_straighten_it_and_the_third_waits_for_the_fourth() {
        let mut plan = plan();
        let told = [
            ((0.0, 50.0), ["0", "0"]),
            ((100.0, 50.0), ["40'", "0"]),
            ((80.0, 0.0), ["40'", "30'"]),
            ((20.0, 0.0), ["0", "30'"]),
        ];
        for (n, (pixel, place)) in told.into_iter().enumerate() {
            if n == TO_SQUARE {
                assert!(!plan.fitting);
                plan.straighten();
            }
            assert!(plan.fitting, "point {n} is asked for");
            plan.click(plan.fit.house(DVec2::new(pixel.0, pixel.1)));
            plan.tell(&place.map(ToOwned::to_owned)).unwrap();
        }
        assert!(!plan.fitting);
        // Where the diagonals of the four pixels cross, those of the house do: 3/8 up the picture.
        let middle = plan.fit.house(DVec2::new(50.0, 18.75));
        assert!(middle.distance(DVec2::new(240.0, 180.0)) < 1e-6, "{middle}");
    }

    #[test]
    fn the_last_point_can_be_taken_back() {
        let mut plan = plan();
        for (pixel, told) in [((10.0, 40.0), ["0", "0"]), ((90.0, 40.0), ["40'", "0"])] {
            plan.click(plan.fit.house(DVec2::new(pixel.0, pixel.1)));
            plan.tell(&told.map(ToOwned::to_owned)).unwrap();
        }
        assert!(!plan.takes(false) && plan.takes(true));
        plan.click(DVec2::ZERO);
        plan.back();
        assert_eq!((plan.asked.is_some(), plan.known.len()), (false, 2));
        plan.back();
        assert_eq!((plan.known.len(), plan.fitting), (1, true));
    }

    #[test]
    fn a_smaller_picture_is_the_mean_of_its_dots() {
        let dots = (0..128 * 128).map(|n| {
            if n % 2 == 0 {
                Color32::BLACK
            } else {
                Color32::WHITE
            }
        });
        let image = ColorImage::new([128, 128], dots.collect());
        let all = ever_smaller(image);
        assert_eq!(all.len(), 2, "not halved below its least side");
        assert!(
            all[1]
                .pixels
                .iter()
                .all(|dot| *dot == Color32::from_gray(128))
        );
    }

    #[test]
    fn grey_of_sixteen_bits_becomes_colour_of_eight() {
        use bevy::render::render_resource::{Extent3d, TextureDimension, TextureFormat};
        let size = Extent3d {
            width: 2,
            height: 1,
            depth_or_array_layers: 1,
        };
        let data = [0xffff_u16, 0x1234]
            .iter()
            .flat_map(|grey| grey.to_ne_bytes())
            .collect();
        let usage = bevy::asset::RenderAssetUsages::MAIN_WORLD;
        let format = TextureFormat::R16Uint;
        let image = bevy::image::Image::new(size, TextureDimension::D2, data, format, usage);
        let image = eight_bits(image).try_into_dynamic().unwrap().to_rgba8();
        assert_eq!(image.get_pixel(0, 0).0, [255, 255, 255, 255]);
        assert_eq!(image.get_pixel(1, 0).0, [0x12, 0x12, 0x12, 255]);
    }

    /// Sixteen dots by eight, the left half black, the right half white, as a JPEG of a common encoder.
    const HALVES: &[&str] = &[
        "ffd8ffe000104a46494600010100000100010000ffdb0043000503040404030504040405050506070c08070707070f0b",
        "0b090c110f1212110f111113161c1713141a1511111821181a1d1d1f1f1f13172224221e241c1e1f1effc0000b080008",
        "001001011100ffc4001500010100000000000000000000000000000809ffc40014100100000000000000000000000000",
        "000000ffda0008010100003f00192cc3ffd9",
    ];

    fn halves() -> Vec<u8> {
        let digits = HALVES.concat();
        let byte = |n: usize| u8::from_str_radix(&digits[n..n + 2], 16).unwrap();
        (0..digits.len()).step_by(2).map(byte).collect()
    }

    #[test]
    fn a_photograph_as_jpeg_is_read() {
        let dots = of_jpeg(&halves(), "plan.jpg").unwrap();
        assert_eq!((dots.width, dots.height), (16, 8));
        let grey = |x: usize, y: usize| dots.bytes[(y * 16 + x) * 4];
        assert!(grey(2, 4) < 30 && grey(13, 4) > 225);
        let torn = of_jpeg(&halves()[..60], "plan.jpg").unwrap_err();
        assert!(torn.contains("plan.jpg is a broken JPEG"), "{torn}");
    }

    #[test]
    fn what_cannot_be_read_or_used_is_told() {
        let mut plan = plan();
        plan.click(DVec2::new(30.0, 30.0));
        assert!(plan.tell(&["four feet".into(), "0 in".into()]).is_err());
        plan.tell(&["1 in".into(), "0 in".into()]).unwrap();
        plan.click(DVec2::new(30.0, 30.0));
        assert!(
            plan.tell(&["1 in".into(), "0 in".into()])
                .unwrap_err()
                .contains("too near")
        );
        plan.again();
        assert!(plan.known.is_empty() && plan.fitting);
        let missing = PaperPlan::read(Path::new("/nowhere/plan.png"), DVec2::ZERO, DVec2::ONE);
        assert!(missing.unwrap_err().contains("can't be read"));
    }
}
