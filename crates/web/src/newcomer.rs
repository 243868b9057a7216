//! A new client: a brief by a form, then a certified programme.

use super::fault::{self, Fault};
use super::{frame, making};
use crate::app::{App, Visit};
use axum::Router;
use axum::extract::Form;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use maud::{Markup, html};
use serde::Deserialize;
use setwright_coaching::jobs::plan_queue::{Kind, Order};
use setwright_coaching::ledger::clients;
use setwright_formats::{Source, brief};
use setwright_model::refusal::Refusals;
use setwright_model::{Brief, Kilograms};
use setwright_present::units::DisplayUnit;
use setwright_science::catalogue::builtin;
use setwright_science::screening::{Question, WARNING_SIGNS};
use std::fmt::Write as _;

pub fn routes() -> Router<App> {
    Router::new().route("/clients/new", get(blank).post(add))
}

/// The form as it was sent.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct Given {
    name: String,
    about: String,
    goal: String,
    training_age: String,
    sessions: String,
    minutes: String,
    cycle_days: String,
    days: String,
    place: String,
    age: String,
    mass_kg: String,
    squat: String,
    press: String,
    row: String,
    active: String,
    known_disease: String,
    signs: String,
    other: String,
    cleared: String,
    /// What body mass and lifts were typed in.
    unit: String,
}

impl Given {
    fn usual(unit: DisplayUnit) -> Self {
        let text = |t: &str| t.to_owned();
        Self {
            goal: text("general"),
            training_age: text("beginner"),
            sessions: text("3"),
            minutes: text("60"),
            cycle_days: text("7"),
            place: text("full_gym"),
            unit: text(unit.symbol()),
            ..Self::default()
        }
    }

    /// The same as the text of a brief. What was typed is quoted, so that it can only be what it is.
    fn toml(&self) -> String {
        let mut out = String::new();
        let mut text = |name: &str, value: &str| {
            if !value.trim().is_empty() {
                let quoted = toml::Value::String(value.trim().to_owned());
                let _ = writeln!(out, "{name} = {quoted}");
            }
        };
        for (name, value) in [
            ("name", &self.name),
            ("about", &self.about),
            ("goal", &self.goal),
            ("training_age", &self.training_age),
        ] {
            text(name, value);
        }
        let _ =
            writeln!(out, "[time]\nsessions = {}\nminutes = {}", plain(&self.sessions), plain(&self.minutes));
        let _ = writeln!(out, "cycle_days = {}", plain(&self.cycle_days));
        let days: Vec<String> = self.days.split([',', ' ']).filter(|d| !d.is_empty()).map(plain).collect();
        if !days.is_empty() {
            let _ = writeln!(out, "days = [{}]", days.join(", "));
        }
        out.push_str("[body]\n");
        for (name, value) in [("age", &self.age), ("mass_kg", &self.mass_kg)] {
            if !value.trim().is_empty() {
                let value = if name == "mass_kg" { self.kg(value) } else { plain(value) };
                let _ = writeln!(out, "{name} = {value}");
            }
        }
        let _ = writeln!(out, "[equipment]\nplace = {}", toml::Value::String(self.place.trim().to_owned()));
        out.push_str("[screening]\n");
        for (name, value) in [
            ("active", &self.active),
            ("known_disease", &self.known_disease),
            ("signs", &self.signs),
            ("other", &self.other),
            ("cleared", &self.cleared),
        ] {
            if matches!(value.as_str(), "yes" | "no") {
                let _ = writeln!(out, "{name} = {}", value == "yes");
            }
        }
        for (exercise, load) in
            [("back_squat", &self.squat), ("bench_press", &self.press), ("barbell_row", &self.row)]
        {
            if !load.trim().is_empty() {
                let _ = writeln!(
                    out,
                    "[[lift]]\nexercise = \"{exercise}\"\nload_kg = {}\nreps = 8\nrir = 2",
                    self.kg(load)
                );
            }
        }
        out
    }

    /// A load as typed, in kilograms to the gram.
    fn kg(&self, text: &str) -> String {
        match text.trim().replace(',', ".").parse::<f64>() {
            Ok(pounds) if pounds.is_finite() && self.unit == "lb" => {
                let grams = (1_000.0 * Kilograms::from_lb(pounds).get()).round();
                format!("{}", grams / 1_000.0)
            }
            _ => plain(text),
        }
    }

    fn brief(&self) -> Result<Brief, Refusals> {
        brief::parse(&Source { name: "the form".to_owned(), text: self.toml() }, builtin())
    }
}

/// A number as typed; anything else becomes a text, which the reader of briefs refuses with its place.
fn plain(text: &str) -> String {
    let bare = text.trim().replace(',', ".");
    match bare.parse::<f64>() {
        Ok(value) if value.is_finite() => bare,
        _ => toml::Value::String(text.trim().to_owned()).to_string(),
    }
}

async fn blank(visit: Visit) -> Markup {
    form_page(&visit, &Given::usual(visit.unit()), &Vec::new())
}

async fn add(visit: Visit, Form(given): Form<Given>) -> Result<Response, Fault> {
    let brief = match given.brief() {
        Ok(brief) => brief,
        Err(problems) => return Ok(again(&visit, &given, &problems)),
    };
    let name = given.name.clone();
    let done = visit
        .at_desk(move |desk, visit| {
            let client = match clients::add(desk, &name, &brief.about, Some(brief.clone())) {
                Ok(client) => client,
                Err(problem) => return Ok(Err(vec![problem])),
            };
            let order = Order {
                kind: Kind::First,
                client: client.id,
                name: name.trim().to_owned(),
                brief,
                known: None,
                before: None,
                about: "a first programme".to_owned(),
            };
            Ok(Ok(making::path(&*visit.practice().begin(desk, order)?)))
        })
        .await?;
    Ok(match done {
        Err(problems) => again(&visit, &given, &problems),
        Ok(to) => Redirect::to(&to).into_response(),
    })
}

fn again(visit: &Visit, given: &Given, problems: &Refusals) -> Response {
    (fault::status_of(problems), form_page(visit, given, problems)).into_response()
}

fn form_page(visit: &Visit, given: &Given, problems: &Refusals) -> Markup {
    let unit = if given.unit == "lb" { "lb" } else { "kg" };
    visit.page(
        "New client",
        Some("/clients/new"),
        &html! {
            h1 { "New client" }
            @if !problems.is_empty() {
                div role="alert" { @for problem in problems { (fault::sentence(problem)) } }
            }
            form method="post" class="sheet" {
                input type="hidden" name="unit" value=(unit);
                fieldset {
                    legend { "Who" }
                    (line("name", "Name", &given.name, true))
                    (line("about", "In a sentence", &given.about, false))
                    (choice("goal", "What for", &given.goal, &[("general", "strength and muscle alike"), ("size", "muscle"), ("strength", "strength in the big lifts")]))
                    (choice("training_age", "Trained for", &given.training_age, &[("first_weeks", "the first weeks"), ("beginner", "under half a year"), ("intermediate", "up to a few years"), ("advanced", "years, steadily")]))
                    (number("age", "Age", &given.age, "years"))
                    (number("mass_kg", "Body mass", &given.mass_kg, unit))
                }
                fieldset {
                    legend { "Time and place" }
                    (number("sessions", "Sessions", &given.sessions, "in a cycle"))
                    (number("cycle_days", "Cycle", &given.cycle_days, "days"))
                    (number("minutes", "Each session", &given.minutes, "minutes"))
                    (line("days", "Days of the cycle, when they are fixed (1, 3, 5)", &given.days, false))
                    (choice("place", "Place", &given.place, &[("full_gym", "gym with everything"), ("garage", "garage: rack, bar, bench"), ("home_dumbbells", "home: dumbbells, bands, a bench"), ("bare", "floor, chair and step")]))
                }
                fieldset {
                    legend { "Lifted lately, for eight with two left" }
                    (number("squat", "Back squat", &given.squat, unit))
                    (number("press", "Bench press", &given.press, unit))
                    (number("row", "Barbell row", &given.row, unit))
                    p class="soft" { "What is left open is found by feel in the first sessions." }
                }
                fieldset {
                    legend { "Before training" }
                    (question(Question::Active, "active", &given.active))
                    (question(Question::KnownDisease, "known_disease", &given.known_disease))
                    (question(Question::Signs, "signs", &given.signs))
                    details { summary { "The signs" } ul { @for sign in WARNING_SIGNS { li { (sign) } } } }
                    (question(Question::Other, "other", &given.other))
                    (frame::yes_no("Has a clinician agreed to this training, knowing of it?", "cleared", frame::said(&given.cleared)))
                }
                button { "Plan and hand out" }
            }
        },
    )
}

fn line(name: &str, label: &str, value: &str, required: bool) -> Markup {
    html! { label { span { (label) } input name=(name) value=(value) required[required] maxlength="200" autocomplete="off"; } }
}

fn number(name: &str, label: &str, value: &str, unit: &str) -> Markup {
    html! { label { span { (label) } span { input class="n" name=(name) value=(value) inputmode="decimal" size="6" autocomplete="off"; " " (unit) } } }
}

fn choice(name: &str, label: &str, value: &str, choices: &[(&str, &str)]) -> Markup {
    html! { label { span { (label) } select name=(name) {
        @for (word, shown) in choices { option value=(word) selected[value == *word] { (shown) } }
    } } }
}

fn question(question: Question, name: &str, value: &str) -> Markup {
    frame::yes_no(question.text(), name, frame::said(value))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_form_as_it_comes_with_a_name_is_a_brief() {
        let given = Given {
            name: "Ida \"the\" [oak]".to_owned(),
            squat: "62,5".to_owned(),
            ..Given::usual(DisplayUnit::Kg)
        };
        let brief = given.brief().unwrap();
        assert_eq!(brief.name, "Ida \"the\" [oak]");
        assert!((brief.lifts[0].load_kg.get() - 62.5).abs() < 1e-12);
    }

    #[test]
    fn what_cannot_be_meant_is_refused_in_the_words_of_the_reader() {
        let given = Given {
            name: "Ida".to_owned(),
            minutes: "sixty\n[style]".to_owned(),
            ..Given::usual(DisplayUnit::Kg)
        };
        let problems = given.brief().unwrap_err();
        assert!(problems.iter().all(|p| !p.hint.is_empty()), "{problems:?}");
    }
}
