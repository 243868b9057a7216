//! Which exercise comes: those of the same pattern that change least, with what each costs; then everything that can be done
//! there.

use crate::page::formats;
use crate::page::frame;
use maud::{Markup, html};
use setwright_coaching::edit::{Draft, Edit, Ground, Slot, neighbours, possible, text};
use setwright_model::{Exercise, ExerciseId, Muscle};

/// Fractional sets of a session that are worth a word.
const WORTH_A_WORD: f64 = 0.25;

/// The page; nothing where there is no such place. `at` is a session, or a session, block and lane.
pub fn page(ground: &Ground<'_>, draft: &Draft, edits: &[Edit], id: &str, at: &[usize]) -> Option<Markup> {
    let session = draft.programme.sessions.get(*at.first()?)?;
    let place = match *at {
        [session, block, lane] => Some(Slot { session, block, lane }),
        [_] => None,
        _ => return None,
    };
    let leaves = match place {
        Some(p) => Some(session.blocks.get(p.block)?.exercises.get(p.lane)?),
        None => None,
    };
    let make = |exercise: &ExerciseId| match place {
        Some(place) => Edit::Swap(place, exercise.clone()),
        None => Edit::Add(at[0], exercise.clone()),
    };
    let name = |e: &ExerciseId| ground.catalogue.get(e).map_or_else(|| e.to_string(), |e| e.name.clone());
    let head = match leaves {
        Some(p) => format!("Instead of {}", name(&p.id)),
        None => format!("Another exercise for session {}", at[0] + 1),
    };
    let near = place.map_or_else(Vec::new, |place| neighbours(ground, draft, place));
    let all = possible(ground, session);
    let back = super::address(id, &ground.id.to_string(), &text(edits));
    Some(html! {
        h1 { (head) }
        p { a href=(back) { "Back to the programme" } }
        form method="post" action={ "/clients/" (id) "/edit" } {
            input type="hidden" name="on" value=(ground.id);
            input type="hidden" name="e" value=(text(edits));
            @if !near.is_empty() {
                h2 { "What changes least" }
                ul class="choices" { @for n in &near { li {
                    button name="make" value=(make(&n.exercise.id)) { (n.exercise.name) }
                    (frame::why(&costs(n.minutes, &n.doses), "Minutes by the session clock; sets of a muscle by what the exercise contributes to it, a helper \
                         counting half (docs/catalogue.md)."))
                } } }
            }
            h2 { "Everything that can be done there" }
            details open[near.is_empty()] {
                summary { (formats::count(all.len(), "exercise")) ", by name" }
                label class="filter" for="filter" { "Find " input id="filter" type="search" autocomplete="off" data-filters="all"; }
                ul class="choices" id="all" { @for e in all { li {
                    button name="make" value=(make(&e.id)) { (e.name) }
                    span class="soft" { (trains(e)) }
                } } }
            }
        }
    })
}

/// "2 minutes longer; chest +0.5, triceps −0.25".
fn costs(minutes: f64, doses: &[(Muscle, f64)]) -> String {
    let time = match minutes {
        m if m.abs() < 0.25 => "As long".to_owned(),
        m if m < 0.0 => format!("{} minutes shorter", formats::number(-m, 1)),
        m => format!("{} minutes longer", formats::number(m, 1)),
    };
    let changed: Vec<String> = doses
        .iter()
        .filter(|(_, d)| d.abs() >= WORTH_A_WORD)
        .map(|(m, d)| {
            let sign = if *d > 0.0 { "+" } else { "−" };
            format!("{} {sign}{}", m.name(), formats::number(d.abs(), 2))
        })
        .collect();
    if changed.is_empty() {
        format!("{time}; hardly another dose.")
    } else {
        format!("{time}; {}.", changed.join(", "))
    }
}

fn trains(exercise: &Exercise) -> String {
    let most = exercise.contributions().filter(|(_, c)| *c >= 0.5);
    most.map(|(m, _)| m.name()).collect::<Vec<_>>().join(", ")
}
