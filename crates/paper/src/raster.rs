//! A drawing as an image, for who cannot show SVG.

use crate::fonts;
use crate::narrow::narrow;
use resvg::tiny_skia::{Color, Pixmap};
use resvg::usvg::{Options, Transform, Tree};
use std::fmt;

/// A drawing that cannot be made into an image.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotDrawn {
    /// Why, in words.
    pub why: String,
}

impl fmt::Display for NotDrawn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.why)
    }
}

impl std::error::Error for NotDrawn {}

/// Longest side of an image in pixels: beyond it a drawing is larger than any screen or printer takes.
pub const PIXELS_MAX: f64 = 16_000.0;

/// A drawing read for painting, with the typefaces that are carried.
pub fn tree(svg: &str) -> Result<Tree, NotDrawn> {
    let options = Options {
        font_family: "Liberation Sans".to_owned(),
        fontdb: fonts::database(),
        ..Options::default()
    };
    Tree::from_str(svg, &options).map_err(|e| NotDrawn { why: e.to_string() })
}

/// PNG bytes of an SVG drawing on its paper ground, so many pixels to a unit of the drawing.
///
/// # Errors
/// No SVG, or an image of more than `PIXELS_MAX` pixels a side.
pub fn png(svg: &str, scale: f64) -> Result<Vec<u8>, NotDrawn> {
    let tree = tree(svg)?;
    let size = (f64::from(tree.size().width()), f64::from(tree.size().height()));
    let (width, height) = ((size.0 * scale).ceil(), (size.1 * scale).ceil());
    let fits = |side: f64| (1.0..=PIXELS_MAX).contains(&side);
    let pixels = if fits(width) && fits(height) { Pixmap::new(width as u32, height as u32) } else { None };
    let Some(mut pixels) = pixels else {
        return Err(NotDrawn { why: format!("an image of {width:.0} by {height:.0} pixels is too large") });
    };
    pixels.fill(Color::from_rgba8(0xfb, 0xfa, 0xf7, 0xff));
    resvg::render(&tree, Transform::from_scale(narrow(scale), narrow(scale)), &mut pixels.as_mut());
    pixels.encode_png().map_err(|e| NotDrawn { why: e.to_string() })
}
