//! Holds the figures of the catalogue's page to the catalogue. Tests only.

use super::builtin;
use crate::room::Room;
use setwright_model::brief::{Equipment, Place};
use setwright_model::exercise::{Ask, Exercise, Standing};
use setwright_model::pattern::{Pattern, Side};
use std::collections::BTreeMap;
use std::fmt::Write as _;

const PAGE: &str = include_str!("../../../../docs/catalogue.md");
const OPENS: &str = "<!-- what follows is written by a test of crates/gym/src/catalogue/page.rs -->\n";
const CLOSES: &str = "<!-- what stands above was written by a test -->\n";

fn count(of: impl Fn(&&Exercise) -> bool) -> usize {
    builtin().iter().filter(of).count()
}

fn written() -> String {
    let mut out = String::new();
    let standing = |s: Standing| count(|e| e.standing == s);
    let _ = writeln!(
        out,
        "{} exercises: {} staple, {} usual, {} special.\n",
        builtin().len(),
        standing(Standing::Staple),
        standing(Standing::Usual),
        standing(Standing::Special)
    );
    patterns(&mut out);
    places(&mut out);
    asks(&mut out);
    body_shares(&mut out);
    unsure(&mut out);
    out
}

fn patterns(out: &mut String) {
    out.push_str("| pattern | exercises | special | staples |\n|--|--|--|--|\n");
    for pattern in Pattern::ALL {
        let of = |e: &&Exercise| e.pattern == *pattern;
        let staples: Vec<&str> = builtin()
            .iter()
            .filter(|e| of(e) && e.standing == Standing::Staple)
            .map(|e| e.name.as_str())
            .collect();
        let special = count(|e| of(e) && e.standing == Standing::Special);
        let _ = writeln!(out, "| {} | {} | {special} | {} |", pattern.name(), count(of), staples.join(", "));
    }
}

fn places(out: &mut String) {
    out.push_str("\n| place | stations | exercises | staples |\n|--|--|--|--|\n");
    let places = [
        ("no kit", Place::Bare),
        ("dumbbells at home", Place::HomeDumbbells),
        ("rack at home", Place::Garage),
        ("whole gym", Place::FullGym),
    ];
    for (name, place) in places {
        let there = Room::of(&Equipment { place, ..Equipment::default() });
        let possible = count(|e| there.can_do(e));
        let staples = count(|e| there.can_do(e) && e.standing == Standing::Staple);
        let _ = writeln!(out, "| {name} | {} | {possible} | {staples} |", there.stations().count());
    }
}

fn asks(out: &mut String) {
    out.push_str("\n| asks | exercises |\n|--|--|\n");
    for ask in Ask::ALL {
        let _ = writeln!(out, "| `{}` | {} |", ask.id(), count(|e| e.asks.contains(&ask)));
    }
}

/// Of press-ups, whose shares were measured.
fn body_shares(out: &mut String) {
    let mut by_share: BTreeMap<u64, Vec<&str>> = BTreeMap::new();
    for exercise in
        builtin().iter().filter(|e| e.name.ends_with("press-up") || e.name.contains("press-up on"))
    {
        let hundredths = (exercise.body_share.get() * 100.0).round() as u64;
        by_share.entry(hundredths).or_default().push(&exercise.name);
    }
    out.push_str("\n| share of the body, % | press-up |\n|--|--|\n");
    for (hundredths, names) in by_share {
        let _ = writeln!(out, "| {hundredths} | {} |", names.join(", "));
    }
}

/// Anchors from another side of the body's movements, the least sure.
fn unsure(out: &mut String) {
    out.push_str("\nShares of a lift with another movement, which tell least:\n\n| lift | guessed from it |\n|--|--|\n");
    let mut by_lift: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for exercise in builtin().iter() {
        let Some(anchor) = &exercise.anchor else { continue };
        let Some(lift) = builtin().get(&anchor.lift) else { continue };
        let (side, from) = (exercise.pattern.side(), lift.pattern.side());
        if side != from || side == Side::Other && exercise.pattern != lift.pattern {
            let guess = format!("{} {}", exercise.name, anchor.share.get());
            by_lift.entry(lift.name.as_str()).or_default().push(guess);
        }
    }
    for (lift, guesses) in by_lift {
        let _ = writeln!(out, "| {lift} | {} |", guesses.join(", "));
    }
}

#[test]
fn the_figures_of_the_page_are_those_of_the_catalogue() {
    let inside =
        PAGE.split_once(OPENS).and_then(|(_, rest)| rest.split_once(CLOSES)).map(|(inside, _)| inside);
    let inside = inside.expect("the page has a section that is written");
    let expected = written();
    assert!(inside.trim() == expected.trim(), "write this into docs/catalogue.md:\n\n{expected}");
}

/// What a set of each standing is worth is the planner's to say: the page must not repeat it.
#[test]
fn the_page_names_no_worth_of_a_standing() {
    let before = PAGE.split(OPENS).next().unwrap_or_default();
    assert!(!before.contains("0.93") && !before.contains("0.65") && !before.contains("0.78"));
}
