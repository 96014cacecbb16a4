//! A drawn plan, scanned or photographed from straight above, laid on the slab under the pipes: squared and scaled by two
//! points whose places are known.

mod fit;
mod ui;

use std::path::{Path, PathBuf};

pub use fit::Fit;
pub use ui::{PaperAsk, paper_paint, paper_ui, paper_wrong_ui, select_all};

use bevy_egui::egui::{Color32, ColorImage};
use glam::DVec2;

/// Longest side of a picture that is taken, pixels; larger ones are refused rather than left to the driver.
const LONGEST: u32 = 8192;
/// Longest side that is shown, pixels.
const SHOWN: u32 = 2048;

/// A plan on the slab.
#[derive(Clone, Debug)]
pub struct PaperPlan {
    /// The picture's name.
    pub name: String,
    /// Where it was read.
    pub file: PathBuf,
    /// Its pixels, at most so many a side as can be shown.
    pub image: ColorImage,
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
        let image = pixels(file)?;
        let size = DVec2::new(to_f64(image.size[0]), to_f64(image.size[1]));
        Ok(Self {
            name: file
                .file_name()
                .map(|name| name.to_string_lossy().into_owned())
                .unwrap_or_default(),
            file: file.to_owned(),
            fit: Fit::over(size, low, high),
            image,
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
            fitting: placing.known.len() < 2,
            ..plan
        })
    }

    /// Where its corners lie, going round.
    pub fn corners(&self) -> [DVec2; 4] {
        let [width, height] = self.image.size.map(to_f64);
        let corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
        corners.map(|(x, y)| self.fit.house(DVec2::new(x, y)))
    }

    /// Moves the whole picture by so much east and north, with what is known of it: the house's zero has moved.
    pub fn shift(&mut self, by: DVec2) {
        self.fit.corner += by;
        for (_, at) in &mut self.known {
            *at += by;
        }
    }

    /// A click at a plan point: the point of the picture there is to be told.
    pub fn click(&mut self, at: DVec2) {
        let told = [at.x, at.y].map(|inches| units::feet_inches(inches, 8));
        self.asked = Some((self.fit.pixel(at), told));
    }

    /// Where the asked point is: after the second, the picture is squared and scaled.
    ///
    /// # Errors
    /// When a length cannot be read, or the two points are one.
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
        if let [.., first, second] = known.as_slice() {
            let fit = Fit::from_two([first.0, second.0], [first.1, second.1]);
            self.fit = fit.ok_or("the two points are too near each other to scale by")?;
        }
        self.fitting = known.len() < 2;
        self.known = known;
        self.asked = None;
        Ok(())
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
    let step = dots.width.max(dots.height).div_ceil(SHOWN).max(1) as usize;
    let [width, height] = [dots.width, dots.height].map(|n| n as usize);
    let mut colours = Vec::new();
    for y in (0..height).step_by(step) {
        for x in (0..width).step_by(step) {
            let at = (y * width + x) * 4;
            if let [r, g, b, a] = dots.bytes[at..at + 4] {
                colours.push(Color32::from_rgba_unmultiplied(r, g, b, a));
            }
        }
    }
    let shown = [width.div_ceil(step), height.div_ceil(step)];
    Ok(ColorImage::new(shown, colours))
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
            image: ColorImage::filled([100, 50], Color32::WHITE),
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
