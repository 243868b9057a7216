//! Drawings as a browser and a printer take them: whole, legible, in the colours agreed.
#![cfg(test)]

use roxmltree::{Document, Node};
use setwright_paper::{
    Bar, BarKind, BlockBand, COLOURS, CurvePoint, CurveView, Dose, Lane, Lanes, Logged, RoadmapPanel,
    RoadmapView, Stem, StrengthView, Strip, StripRow, curve, doses, lanes, miniature, png, roadmap, strength,
    strip,
};

/// The longest names that a sheet must hold, and more blocks than any session has.
fn session() -> Lanes {
    let bar = |from_s: f64, length_s: f64, kind| Bar { from_s, length_s, kind };
    let lane = |at: f64, name: &str| Lane {
        id: "x".to_owned(),
        name: name.to_owned(),
        what: "3 x 8-12 a side, 62.5 kg <&>".to_owned(),
        bars: vec![
            bar(at, 20.0, BarKind::SetUp),
            bar(at + 20.0, 15.0, BarKind::Ramp),
            bar(at + 40.0, 40.0, BarKind::Work { share: Some(0.7), near_failure: true }),
            bar(at + 80.0, 60.0, BarKind::Rest),
            bar(at + 140.0, 40.0, BarKind::Work { share: None, near_failure: false }),
            bar(at + 180.0, 10.0, BarKind::Walk),
        ],
    };
    let block = |nth: usize| BlockBand {
        label: char::from(b'A' + nth as u8).to_string(),
        lanes: vec![
            lane(nth as f64 * 400.0, "single-leg standing dumbbell calf raise on a step with support"),
            lane(nth as f64 * 400.0 + 200.0, "kneeling cable crunch"),
        ],
    };
    Lanes {
        title: "Session 1, day 3".to_owned(),
        limit_s: Some(3_600.0),
        end_s: 4_800.0,
        blocks: (0..12).map(block).collect(),
    }
}

fn week() -> Strip {
    let stem = |at: f64, planned, ready| Stem { at, sets: 5.0, planned, ready };
    let row = |name: &str, of_population| StripRow {
        name: name.to_owned(),
        stems: vec![stem(1.0, false, Some([2.0, 2.8, 4.1])), stem(8.0, true, Some([9.0, 10.0, 30.0]))],
        of_population,
    };
    Strip {
        title: "Recovery".to_owned(),
        days: (0..14).map(|d| format!("{} Nov", d + 10)).collect(),
        now: 6.3,
        rows: vec![row("upper trapezius", false), row("front deltoids", true)],
    }
}

/// As many points as a curve has, the first without a programme, the brief's own in the middle.
fn minutes() -> CurveView {
    let point = |k: u32| CurvePoint {
        minutes: 30.0 + 5.0 * f64::from(k),
        value: (k > 0).then(|| 30.0 + f64::from(k).sqrt()),
        bound: (k > 0).then(|| 31.5 + f64::from(k).sqrt()),
        ruled_out: k == 0,
    };
    CurveView {
        title: "Minutes against benefit".to_owned(),
        minutes: "minutes a session".to_owned(),
        points: (0..13).map(point).collect(),
        own: Some(6),
    }
}

/// A long roadmap, with weeks in which nothing is known of a load.
fn year() -> RoadmapView {
    let band = |week: u32| Some([20.0, 20.0 + f64::from(week), 24.0 + 2.0 * f64::from(week)]);
    let panel = |name: &str| RoadmapPanel {
        name: name.to_owned(),
        bands: (0..60).map(|w| band(w).filter(|_| !(20..25).contains(&w))).collect(),
    };
    RoadmapView {
        title: "Roadmap".to_owned(),
        weeks: 60,
        steps: vec![1, 5, 13],
        panels: vec![
            panel("sets a session"),
            panel("single-leg standing dumbbell calf raise on a step with support, kg"),
        ],
    }
}

fn drawings(width: f64) -> Vec<(&'static str, String)> {
    let asked =
        |sets: f64| Dose { name: "rear deltoids".to_owned(), sets, least: Some(4.0), most: Some(8.0) };
    let lift = StrengthView {
        name: "bench press".to_owned(),
        unit: "kg".to_owned(),
        logged: (0..40).map(|d| Logged { day: f64::from(d) * 2.0, e1rm: 80.0 + f64::from(d % 7) }).collect(),
        now: [82.0, 86.0, 90.0],
        now_day: 84.0,
        ends: ["1 June".to_owned(), "24 August".to_owned()],
    };
    vec![
        ("lanes", lanes(&session(), width, "a")),
        ("strip", strip(&week(), width, "b")),
        ("miniature", miniature(&week(), width.min(160.0), "c")),
        ("strength", strength(&lift, width, "d")),
        ("doses", doses("Doses", &[asked(3.0), asked(6.0)], width, "e")),
        ("curve", curve(&minutes(), width, "f")),
        ("roadmap", roadmap(&year(), width, "g")),
    ]
}

fn number(node: &Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap_or("0").parse().unwrap()
}

/// Left and right end of a text, and its line.
fn extent(node: &Node<'_, '_>) -> (f64, f64, f64) {
    let size = number(node, "font-size");
    let long = node.text().unwrap_or_default().chars().count() as f64 * size * 0.55;
    let x = number(node, "x");
    let left = match node.attribute("text-anchor") {
        Some("end") => x - long,
        Some("middle") => x - long / 2.0,
        _ => x,
    };
    (left, left + long, number(node, "y"))
}

#[test]
fn drawings_are_well_formed_described_and_keep_to_the_colours() {
    for width in [320.0, 360.0, 900.0] {
        for (name, svg) in drawings(width) {
            let document = Document::parse(&svg).unwrap_or_else(|e| panic!("{name}: {e}\n{svg}"));
            let root = document.root_element();
            assert_eq!(root.attribute("role"), Some("img"), "{name}");
            for tag in ["title", "desc"] {
                let told =
                    root.children().find(|n| n.has_tag_name(tag)).and_then(|n| n.text()).unwrap_or_default();
                assert!(!told.is_empty(), "{name}: {tag}");
            }
            for node in document.descendants() {
                assert_eq!(node.attribute("style"), None, "{name}");
                for colour in ["fill", "stroke"].iter().filter_map(|a| node.attribute(*a)) {
                    let known = colour == "none" || colour.starts_with("url(#") || COLOURS.contains(&colour);
                    assert!(known, "{name}: {colour}");
                }
            }
        }
    }
}

#[test]
fn no_text_is_cut_off_or_runs_into_another() {
    for width in [320.0, 360.0, 900.0] {
        for (name, svg) in drawings(width) {
            let document = Document::parse(&svg).unwrap();
            let (wide, high) =
                (number(&document.root_element(), "width"), number(&document.root_element(), "height"));
            let texts: Vec<_> = document
                .descendants()
                .filter(|n| n.has_tag_name("text"))
                .map(|n| (extent(&n), n.text()))
                .collect();
            for ((left, right, y), text) in &texts {
                assert!(*left >= -0.5 && *right <= wide + 0.5 && *y <= high, "{name} {width}: {text:?}");
            }
            for (k, (a, one)) in texts.iter().enumerate() {
                for (b, other) in texts.iter().skip(k + 1) {
                    let apart = (a.2 - b.2).abs() >= 10.0 || a.1 <= b.0 || b.1 <= a.0;
                    assert!(apart, "{name} {width}: {one:?} runs into {other:?}");
                }
            }
        }
    }
}

#[test]
fn what_passes_the_limit_stands_in_a_wall() {
    assert!(lanes(&session(), 900.0, "a").contains("class=\"wall\""));
    let within = Lanes { end_s: 3_000.0, ..session() };
    assert!(!lanes(&within, 900.0, "a").contains("class=\"wall\""));
}

#[test]
fn the_same_view_gives_the_same_bytes() {
    assert_eq!(drawings(900.0), drawings(900.0));
}

#[test]
fn a_gap_in_a_roadmap_stays_a_gap() {
    let svg = roadmap(&year(), 900.0, "g");
    assert_eq!(svg.matches("class=\"band\"").count(), 4, "two panels of two runs each");
}

#[test]
fn a_curve_without_any_programme_is_crosses_and_says_so() {
    let mut none = minutes();
    for point in &mut none.points {
        (point.value, point.bound) = (None, None);
    }
    let svg = curve(&none, 900.0, "f");
    assert_eq!(svg.matches("class=\"none\"").count(), 2 * none.points.len());
    assert!(svg.contains("no programme found, none ruled out"));
}

/// Whether an image is more than its ground: bytes of a blank one are far fewer.
#[test]
fn a_drawing_becomes_an_image_with_words_in_it_and_a_huge_one_is_refused() {
    for (name, svg) in drawings(900.0) {
        let image = png(&svg, 1.0).unwrap();
        assert!(image.starts_with(b"\x89PNG\r\n"), "{name}");
        assert_eq!(image, png(&svg, 1.0).unwrap(), "{name}: the same bytes");
        if name != "miniature" {
            let mute =
                svg.replace("font-size=", "data-size=").replace("<text", "<g").replace("</text", "</g");
            assert_ne!(image, png(&mute, 1.0).unwrap(), "{name}: words are set");
        }
        assert!(png(&svg, 200.0).is_err(), "{name}");
    }
    assert!(png("no drawing", 1.0).is_err());
}
