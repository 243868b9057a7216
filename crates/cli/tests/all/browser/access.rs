//! What everybody must be able to do on every page: read it by a screen reader and in both colour schemes (axe-core's rules for
//! WCAG 2.2 AA), reach all of it by keyboard, and read it on any screen without pushing it sideways.

use super::cdp::Browser;
use super::chromium;
use super::gym::Gym;
use super::page::{Page, Screen};
use super::pictures::{PAGES, Places};
use crate::all::kit::skipped;
use serde_json::{Value, json};
use std::path::Path;

/// Widths in CSS pixels: the narrowest phone that WCAG 2.2 asks for (1.4.10), phones, a tablet, a laptop, a wide screen.
const WIDTHS: [u32; 5] = [320, 390, 768, 1280, 1920];
/// Most bytes that the first load of a page may bring, compressed.
const FIRST_LOAD_BYTES: f64 = 150_000.0;

/// The text of axe-core, if it was fetched.
pub fn axe() -> Option<String> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../dev/tools/axe-core/axe.min.js");
    let text = std::fs::read_to_string(file).ok();
    if text.is_none() {
        skipped("axe-core is not here: dev/tools/axe fetches it");
    }
    text
}

/// What axe-core finds on a page, a line each.
pub fn examined(page: &mut Page, axe: &str, name: &str) -> Vec<String> {
    page.eval(&format!("{axe}; undefined"));
    let found = page.eval(
        "axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] }).then((r) => \
         r.violations.map((v) => v.id + ': ' + v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160) + ' ' + n.failureSummary).join(' | ')))",
    );
    let lines = found.as_array().cloned().unwrap_or_default();
    lines.iter().filter_map(Value::as_str).map(|line| format!("{name}: {line}")).collect()
}

/// Shows pages in light or in dark.
pub fn in_scheme(page: &mut Page, scheme: &str) {
    let features = json!([{ "name": "prefers-color-scheme", "value": scheme }]);
    page.call("Emulation.setEmulatedMedia", json!({ "features": features }));
}

fn as_wide_as(page: &mut Page, width: u32) {
    page.call(
        "Emulation.setDeviceMetricsOverride",
        json!({ "width": width, "height": 900, "deviceScaleFactor": 1, "mobile": width < 700 }),
    );
}

/// The demo's pages in a browser; nothing where there is no browser.
fn opened() -> Option<(Gym, tempfile::TempDir, Page, Places)> {
    let program = chromium()?;
    let gym = Gym::demo();
    let profile = tempfile::TempDir::new().unwrap();
    let mut page = Page::new(Browser::start(&program, profile.path()), Screen::UnitOfWork, "");
    let places = Places::of(&mut page, &gym);
    Some((gym, profile, page, places))
}

#[test]
fn every_page_is_for_everybody_in_light_and_in_dark() {
    let Some(axe) = axe() else { return };
    let Some((gym, _profile, mut page, places)) = opened() else { return };
    let mut wrong = Vec::new();
    for scheme in ["light", "dark"] {
        in_scheme(&mut page, scheme);
        for (name, path) in PAGES {
            page.go(&places.at(&gym, path));
            page.eval("for (const d of document.querySelectorAll('details')) d.open = true; undefined");
            wrong.extend(examined(&mut page, &axe, &format!("{name}, {scheme}")));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// By how much a page is too wide, and what is, on any of the screens.
pub fn too_wide(page: &mut Page, name: &str) -> Vec<String> {
    let mut wrong = Vec::new();
    for width in WIDTHS {
        as_wide_as(page, width);
        let over = page.eval("document.documentElement.scrollWidth - document.documentElement.clientWidth");
        if over.as_f64().unwrap() > 0.0 {
            let widest = page.eval(
                "(() => { const w = document.documentElement.clientWidth; const n = [...document.body.querySelectorAll('*')]\
                 .find((n) => n.getBoundingClientRect().right > w + 1 && !n.closest('.scroll, .wide, .days')); return n ? n.outerHTML.slice(0, 160) : ''; })()",
            );
            wrong.push(format!("{name} at {width}: {over} px too wide, {widest}"));
        }
    }
    wrong
}

#[test]
fn no_page_is_pushed_sideways_on_any_screen_or_heavy_to_load() {
    let Some((gym, _profile, mut page, places)) = opened() else { return };
    let mut wrong = Vec::new();
    for (name, path) in PAGES {
        page.go(&places.at(&gym, path));
        let bytes = page.eval(
            "performance.getEntriesByType('navigation').concat(performance.getEntriesByType('resource')).reduce((s, e) => s + e.encodedBodySize, 0)",
        );
        if bytes.as_f64().unwrap() > FIRST_LOAD_BYTES {
            wrong.push(format!("{name} loads {bytes} bytes"));
        }
        wrong.extend(too_wide(&mut page, name));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_page_is_walked_by_the_tab_key_and_shows_where_one_is() {
    let Some((gym, _profile, mut page, places)) = opened() else { return };
    let mut wrong = Vec::new();
    for (name, path) in PAGES {
        page.go(&places.at(&gym, path));
        // Radio buttons of a name are one stop; what is folded away is none.
        let stops = page.eval(
            "(() => { const seen = new Set(); return [...document.querySelectorAll('a[href], button:not(:disabled), input:not([type=hidden]), select, textarea, summary')]\
             .filter((n) => n.checkVisibility() && n.tabIndex >= 0 && (n.type !== 'radio' || (!seen.has(n.name) && seen.add(n.name)))).length; })()",
        );
        let stops = stops.as_u64().unwrap().min(40);
        let mut reached = std::collections::BTreeSet::new();
        // A date has a stop for each of its parts.
        for _ in 0..2 * stops {
            if reached.len() as u64 == stops {
                break;
            }
            page.key("Tab");
            let at = page.eval(
                "(() => { const n = document.activeElement; const s = getComputedStyle(n); const all = [...document.querySelectorAll('*')];\
                 return [all.indexOf(n), n.tagName, s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) > 0]; })()",
            );
            if at[1] == json!("BODY") {
                wrong.push(format!("{name}: the focus was lost after {} of {stops} stops", reached.len()));
                break;
            }
            if at[2] == json!(false) {
                wrong.push(format!("{name}: stop {at} does not show that it has the focus"));
            }
            reached.insert(at[0].as_u64());
        }
        if (reached.len() as u64) < stops {
            wrong.push(format!("{name}: {} of {stops} stops were reached", reached.len()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
