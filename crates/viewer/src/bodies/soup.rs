//! A growing pile of coloured triangles, and how a vertex says what it wants to be.

use bevy::math::Vec3;

use crate::theme::Tint;

/// How the shader treats a vertex. The number is carried in the first texture coordinate.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Kind {
    /// Lit by sun and sky.
    Lit,
    /// The colour as it is.
    Flat,
    /// A line corner, moved sideways by the shader so that the line keeps its width on screen.
    Line,
    /// Already in clip space: the backdrop.
    Backdrop,
}

impl Kind {
    fn code(self) -> f32 {
        match self {
            Self::Lit => 0.0,
            Self::Flat => 1.0,
            Self::Line => 2.0,
            Self::Backdrop => 3.0,
        }
    }
}

/// How a pile is drawn.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Look {
    /// Hides what is behind it.
    Opaque,
    /// Glass, blended in a fixed order: a higher rank later. Ranks are turned round when seen from below.
    Glass(
        /// The place in the order.
        i8,
    ),
    /// Blended after every glass.
    Over,
}

/// Triangles with a normal and a colour per corner.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Soup {
    /// Corners, picture units.
    pub positions: Vec<[f32; 3]>,
    /// Normals; for a line, the unit direction to its other end.
    pub normals: Vec<[f32; 3]>,
    /// Kind, and for a line its signed half width in thousandths of the picture's height.
    pub codes: Vec<[f32; 2]>,
    /// Linear colours with alpha.
    pub colours: Vec<[f32; 4]>,
    /// Three a triangle.
    pub indices: Vec<u32>,
}

impl Soup {
    /// Whether there is nothing to draw.
    pub fn is_empty(&self) -> bool {
        self.indices.is_empty()
    }

    /// Adds a corner and gives its number.
    pub fn corner(
        &mut self,
        at: Vec3,
        normal: Vec3,
        kind: Kind,
        width: f32,
        colour: [f32; 4],
    ) -> u32 {
        self.positions.push(at.to_array());
        self.normals.push(normal.to_array());
        self.codes.push([kind.code(), width]);
        self.colours.push(colour);
        u32::try_from(self.positions.len() - 1).unwrap_or(u32::MAX)
    }

    /// Adds a triangle of corners already there.
    pub fn triangle(&mut self, a: u32, b: u32, c: u32) {
        self.indices.extend([a, b, c]);
    }

    /// Adds a four-cornered face.
    pub fn quad(&mut self, corners: [Vec3; 4], normal: Vec3, colours: [[f32; 4]; 4]) {
        let [a, b, c, d] = [0, 1, 2, 3].map(|index: usize| {
            self.corner(corners[index], normal, Kind::Lit, 0.0, colours[index])
        });
        self.triangle(a, b, c);
        self.triangle(a, c, d);
    }

    /// Adds a line of constant width on screen, `width` in thousandths of the picture's height.
    pub fn line(&mut self, from: Vec3, to: Vec3, width: f32, colours: [[f32; 4]; 2]) {
        let Some(along) = (to - from).try_normalize() else {
            return;
        };
        let [first, last] = colours;
        let a = self.corner(from, along, Kind::Line, width, first);
        let b = self.corner(from, along, Kind::Line, -width, first);
        let c = self.corner(to, along, Kind::Line, width, last);
        let d = self.corner(to, along, Kind::Line, -width, last);
        self.triangle(a, b, c);
        self.triangle(b, d, c);
    }

    /// The backdrop: paper below, sky above, behind everything.
    pub fn backdrop(paper: Tint, sky: Tint) -> Self {
        let mut soup = Self::default();
        let corners = [
            (-1.0, -1.0, paper),
            (1.0, -1.0, paper),
            (1.0, 1.0, sky),
            (-1.0, 1.0, sky),
        ];
        let [a, b, c, d] = corners.map(|(x, y, tint)| {
            soup.corner(
                Vec3::new(x, y, 0.0),
                Vec3::ZERO,
                Kind::Backdrop,
                0.0,
                tint.linear(1.0),
            )
        });
        soup.triangle(a, b, c);
        soup.triangle(a, c, d);
        soup
    }
}
