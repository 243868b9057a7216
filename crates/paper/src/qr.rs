//! A text as a square of black and white that a phone's camera reads (ISO/IEC 18004).

use qrcodegen::{QrCode, QrCodeEcc};
use std::fmt::Write as _;

/// White about it, in modules: ISO/IEC 18004 asks for four (M).
const QUIET: i32 = 4;

/// The square as SVG, named for who cannot see it; none for a text that is too long. It stays black on white in the dark, for a camera.
pub fn svg(text: &str, label: &str) -> Option<String> {
    let code = QrCode::encode_text(text, QrCodeEcc::Medium).ok()?;
    let size = code.size();
    let mut path = String::new();
    for y in 0..size {
        for x in (0..size).filter(|x| code.get_module(*x, y)) {
            let _ = write!(path, "M{},{}h1v1h-1z", x + QUIET, y + QUIET);
        }
    }
    let whole = size + 2 * QUIET;
    let label = label.replace('&', "&amp;").replace('<', "&lt;").replace('"', "&quot;");
    Some(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"qr\" role=\"img\" aria-label=\"{label}\" viewBox=\"0 0 {whole} {whole}\">\
         <rect width=\"{whole}\" height=\"{whole}\" fill=\"#ffffff\"/><path d=\"{path}\" fill=\"#000000\"/></svg>"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_a_square_with_its_three_corners_and_white_about_it() {
        let svg = svg("otpauth://totp/Setwright:Ada?secret=GEZDGNBV", "for <the> \"app\"").unwrap();
        assert!(svg.contains("aria-label=\"for &lt;the> &quot;app&quot;\""), "{svg}");
        let whole: i32 =
            svg.split("viewBox=\"0 0 ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
        let dark = |x: i32, y: i32| svg.contains(&format!("M{x},{y}h1"));
        let far = whole - QUIET - 7;
        for (x, y) in [(QUIET, QUIET), (far, QUIET), (QUIET, far)] {
            assert!((0..7).all(|n| dark(x + n, y) && dark(x, y + n)), "the corner at {x}, {y}");
            assert!(!dark(x + 1, y + 1) && dark(x + 3, y + 3));
        }
        assert!(!(0..whole).any(|n| dark(n, QUIET - 1) || dark(whole - QUIET, n)));
    }

    #[test]
    fn what_is_too_long_gives_none() {
        assert!(svg(&"a".repeat(5_000), "").is_none());
    }
}
