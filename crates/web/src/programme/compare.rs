//! Two programmes beside each other: what was on the left, what will be on the right, and a line between the two where an
//! exercise is in both.

use crate::page::formats;
use crate::programme;
use maud::{Markup, html};
use setwright_model::MassUnit;
use setwright_present::compare::{BeforeAfter, Compared, DoseChange, Line, SessionChange};

/// Sessions side by side; `heads` name the two.
pub fn sessions(compared: &Compared, heads: [&str; 2]) -> Markup {
    html! {
        @for session in &compared.sessions {
            section class="beside" aria-labelledby={ "beside-" (session.number) } {
                h3 id={ "beside-" (session.number) } { "Session " (session.number) ": " (minutes(session)) }
                div class="scroll" { table class="two" {
                    thead { tr { th scope="col" { "Exercise" } th scope="col" { (heads[0]) } th class="tie" scope="col" { span class="unseen" { "changes" } } th scope="col" { (heads[1]) } } }
                    tbody {
                        @if !session.name.is_same() { tr { td { "Day" } td { (word(session.name.before.as_deref())) } td class="tie moved" { "→" } td { (word(session.name.after.as_deref())) } } }
                        @for line in &session.lines { (row(line)) }
                    }
                } }
            }
        }
    }
}

fn row(line: &Line) -> Markup {
    let (class, sign) = match (&line.before, &line.after) {
        (Some(a), Some(b)) if a == b => ("tie", "="),
        (Some(_), Some(_)) => ("tie moved", "→"),
        (Some(_), None) => ("tie gone", "−"),
        _ => ("tie come", "+"),
    };
    html! {
        tr {
            td { (line.name) }
            td class=[line.after.is_none().then_some("gone")] { (line.before.as_deref().unwrap_or("")) }
            td class=(class) { (sign) }
            td { (line.after.as_deref().unwrap_or("")) }
        }
    }
}

fn word(text: Option<&str>) -> &str {
    text.unwrap_or("no session")
}

/// "42 minutes instead of 45, 14 sets".
pub fn minutes(session: &SessionChange) -> String {
    let n = |v: Option<f64>| v.map_or_else(|| "none".to_owned(), |v| formats::number(v, 1));
    let m = session.minutes;
    let time = if n(m.before) == n(m.after) {
        format!("{} minutes", n(m.after))
    } else {
        format!("{} minutes instead of {}", n(m.after), n(m.before))
    };
    let sets = |v: Option<u32>| v.unwrap_or(0);
    let BeforeAfter { before, after } = session.sets;
    if before == after {
        format!("{time}, {}", formats::count(sets(after) as usize, "set"))
    } else {
        format!("{time}, {} instead of {}", formats::count(sets(after) as usize, "set"), sets(before))
    }
}

/// What changes of each muscle's sets a week; nothing when nothing does.
pub fn doses(compared: &Compared) -> Markup {
    let changed: Vec<&DoseChange> = compared.doses.iter().filter(|d| !d.is_same()).collect();
    let wished = changed.iter().any(|d| d.least.is_some() || d.most.is_some());
    html! {
        section aria-labelledby="beside-doses" {
            h3 id="beside-doses" { "What changes of them" }
            @if changed.is_empty() { p { "No muscle's sets a week change." } } @else {
                div class="scroll" { table {
                    thead { tr { th scope="col" { "Muscle" } th class="n" scope="col" { "Before" } th class="n" scope="col" { "After" } @if wished { th scope="col" { "The brief asks" } } } }
                    tbody { @for d in changed { tr {
                        td { (d.muscle.name()) }
                        td class="n" { (formats::number(d.before, 1)) }
                        td class="n" { (formats::number(d.after, 1)) (sign(d)) }
                        @if wished { td class="soft" { (asked(d)) } }
                    } } }
                } }
            }
        }
    }
}

/// Whether a dose leaves what the brief asks.
fn sign(d: &DoseChange) -> &'static str {
    let low = d.least.is_some_and(|l| d.after + 1e-6 < l);
    let high = d.most.is_some_and(|m| d.after - 1e-6 > m);
    match (low, high) {
        (true, _) => " ▽",
        (_, true) => " △",
        _ => "",
    }
}

fn asked(d: &DoseChange) -> String {
    let n = |v| formats::number(v, 1);
    match (d.least, d.most) {
        (Some(least), Some(most)) => format!("{} to {}", n(least), n(most)),
        (Some(least), None) => format!("{} or more", n(least)),
        (None, Some(most)) => format!("{} or fewer", n(most)),
        (None, None) => String::new(),
    }
}

/// What the check says anew and what it says no longer.
pub fn findings(compared: &Compared, unit: MassUnit) -> Markup {
    html! {
        @if compared.new.is_empty() && compared.gone.is_empty() {
            p { "The check says the same of both" @if compared.stays == 0 { ": nothing stands against either" } "." }
        }
        @for f in &compared.new { (programme::finding(f, "New. ", true, unit)) }
        @for f in &compared.gone { p class="soft settled" { "Settled: " (f.subject) ": " (f.cause.shown_in(unit)) } }
    }
}
