//! The draft on a page: lanes to pull at, a line of buttons for each exercise and block that do the same, minutes, doses and
//! findings before and after.

use super::dotted;
use crate::page::formats;
use crate::page::frame;
use crate::programme::compare;
use maud::{Markup, PreEscaped, html};
use setwright_check::JudgedProgramme;
use setwright_coaching::edit::{Draft, Edit, Ground, Slot, text};
use setwright_model::{Finding, MassUnit, Severity};
use setwright_present::compare::{Compared, SessionChange, compare as beside};
use setwright_present::drawings;
use setwright_present::view::{self, BlockView, LineView, ProgrammeView, SessionView};

/// The step of a rest, in seconds.
const REST_STEP_S: u32 = 15;

struct Sheet<'a> {
    ground: &'a Ground<'a>,
    draft: &'a Draft,
    view: ProgrammeView,
    compared: Compared,
    judged: JudgedProgramme,
    unit: MassUnit,
}

/// The editor of a draft.
pub fn page(ground: &Ground<'_>, draft: &Draft, edits: &[Edit], id: &str, unit: MassUnit) -> Markup {
    let was = ground.judge(ground.programme, &ground.brief.locks);
    let judged = ground.judge(&draft.programme, &draft.locks);
    let view = view::programme(&judged, Some(ground.brief), ground.catalogue);
    let compared = beside(&was, &judged, Some(ground.brief), unit, ground.catalogue);
    let sheet = Sheet { ground, draft, view, compared, judged, unit };
    let name = &ground.known.client.card.name;
    html! {
        h1 { "Edit the programme of " a href={ "/clients/" (id) } { (name) } }
        p class="soft" { "Nothing is in force until it is handed out. A lock keeps an exercise as it stands when the rest is planned anew. In the drawing, \
             pull a block up or down to move it, onto another to alternate the two, and the end of a set to the side for one more or one less; the \
             buttons below do the same." }
        form id="editor" method="post" action={ "/clients/" (id) "/edit" } data-editor="yes" {
            input type="hidden" name="on" value=(ground.id);
            input type="hidden" name="e" value=(text(edits));
            (bar(edits, id, &sheet))
            div class="sided" {
                div { @for (nth, session) in draft.programme.sessions.iter().enumerate() { (sheet.session(nth, session, edits, id)) } }
                div class="side" {
                    (crate::programme::doses(&sheet.view))
                    (compare::doses(&sheet.compared))
                    (sheet.findings())
                }
            }
        }
    }
}

fn bar(edits: &[Edit], id: &str, sheet: &Sheet<'_>) -> Markup {
    let errors = sheet.judged.report().count(Severity::Error);
    let changed =
        sheet.draft.programme != *sheet.ground.programme || sheet.draft.locks != sheet.ground.brief.locks;
    html! {
        div class="bar" {
            p id="editor-line" role="status" { (standing(edits.len(), errors, &sheet.compared)) }
            p {
                button name="make" value="undo" disabled[edits.is_empty()] { "Undo" }
                button formaction={ "/clients/" (id) "/edit/solve" } { "Solve around my locks" }
                button formaction={ "/clients/" (id) "/edit/hand-out" } disabled[!changed || errors > 0] { "Hand out" }
                a href={ "/clients/" (id) "/programme" } { "Leave as it was" }
            }
        }
    }
}

/// Where the draft stands, in a sentence.
fn standing(edits: usize, errors: usize, compared: &Compared) -> String {
    let sum =
        |of: &dyn Fn(&SessionChange) -> Option<f64>| compared.sessions.iter().filter_map(of).sum::<f64>();
    let (before, after) = (sum(&|s| s.minutes.before), sum(&|s| s.minutes.after));
    let check = match errors {
        0 => "The check passes it".to_owned(),
        n => format!("{} in the way of handing it out", formats::count(n, "error")),
    };
    format!(
        "{}; {} minutes a cycle, {} before. {check}.",
        formats::count(edits, "change"),
        formats::number(after, 0),
        formats::number(before, 0)
    )
}

impl Sheet<'_> {
    fn session(&self, nth: usize, session: &setwright_model::Session, edits: &[Edit], id: &str) -> Markup {
        let Some(shown) = self.view.sessions.get(nth) else { return html! {} };
        let lanes = drawings::lanes(session, shown, self.unit, self.ground.catalogue);
        let minutes = self.compared.sessions.get(nth).map(compare::minutes).unwrap_or_default();
        let limit =
            shown.limit_minutes.map_or_else(String::new, |m| format!(", {} at most", formats::number(m, 0)));
        html! {
            section aria-labelledby={ "session-" (shown.number) } data-session=(nth) {
                h2 id={ "session-" (shown.number) } { "Session " (shown.number) ", day " (shown.day) ", " (shown.focus) }
                (frame::why(&format!("{minutes}{limit}."), "By the session clock: reps times cadence, both sides where there are two, the rest of each block, \
                     making ready and walking (common practice, no source, but where docs/models.md names one)."))
                div class="wide desk" data-lanes="yes" { (PreEscaped(setwright_paper::lanes(&lanes, 900.0, &format!("d{nth}")))) }
                div class="wide phone" data-lanes="yes" { (PreEscaped(setwright_paper::lanes(&lanes, 360.0, &format!("p{nth}")))) }
                (self.days(nth, shown))
                ol class="blocks" { @for (b, block) in shown.blocks.iter().enumerate() { (self.block([nth, b], block, shown, edits, id)) } }
                p { a class="quiet" href=(choose(id, self.ground, edits, &nth.to_string())) { "Add an exercise to session " (shown.number) } }
            }
        }
    }

    /// Buttons that move the session to the free day before or after.
    fn days(&self, nth: usize, shown: &SessionView) -> Markup {
        let taken = |day: u32| self.draft.programme.sessions.iter().any(|s| s.day == day);
        let before = (1..shown.day).rev().find(|d| !taken(*d));
        let after = (shown.day + 1..=self.draft.programme.cycle_days).find(|d| !taken(*d));
        html! {
            p class="row" {
                span class="soft" { "Day " (shown.day) " of " (self.draft.programme.cycle_days) }
                @if let Some(day) = before { (press(&Edit::Day(nth, day), "to day", &format!("{day}"), &format!("Session {} to day {day}", shown.number))) }
                @if let Some(day) = after { (press(&Edit::Day(nth, day), "to day", &format!("{day}"), &format!("Session {} to day {day}", shown.number))) }
            }
        }
    }

    fn block(
        &self,
        [s, b]: [usize; 2],
        block: &BlockView,
        shown: &SessionView,
        edits: &[Edit],
        id: &str,
    ) -> Markup {
        let letter = view::letter(b);
        let blocks = shown.blocks.len();
        let rest = block.rest_s as u32;
        let straight = |n: usize| shown.blocks.get(n).is_some_and(|k| k.lines.len() == 1);
        let others = (0..self.draft.programme.sessions.len()).filter(|o| *o != s);
        html! {
            li class="block" data-block=(b) {
                @for (l, line) in block.lines.iter().enumerate() { (self.line(Slot { session: s, block: b, lane: l }, line, edits, id)) }
                p class="row" {
                    span class="soft" { "Rest " (rest) " s" }
                    (press(&Edit::Rest([s, b], rest.saturating_sub(REST_STEP_S)), "−", "15 s", &format!("15 seconds less rest in block {letter}")))
                    (press(&Edit::Rest([s, b], rest + REST_STEP_S), "+", "15 s", &format!("15 seconds more rest in block {letter}")))
                    @if b > 0 { (press(&Edit::Move([s, b], [s, b - 1]), "earlier", "", &format!("Block {letter} earlier"))) }
                    @if b + 1 < blocks { (press(&Edit::Move([s, b], [s, b + 2]), "later", "", &format!("Block {letter} later"))) }
                    @if straight(b) && straight(b + 1) { (press(&Edit::Join(s, [b, b + 1]), "alternate with", &view::letter(b + 1), &format!("Alternate block {letter} with block {}", view::letter(b + 1)))) }
                    @if !straight(b) { (press(&Edit::Part([s, b]), "part", "", &format!("Part block {letter} in two"))) }
                    @for other in others { (press(&Edit::Move([s, b], [other, self.blocks_of(other)]), "to session", &format!("{}", other + 1), &format!("Block {letter} to session {}", other + 1))) }
                }
            }
        }
    }

    fn blocks_of(&self, session: usize) -> usize {
        self.draft.programme.sessions.get(session).map_or(0, |s| s.blocks.len())
    }

    fn line(&self, at: Slot, line: &LineView, edits: &[Edit], id: &str) -> Markup {
        let exercise = setwright_model::ExerciseId::from(line.id.as_str());
        let locked = self.draft.is_locked(at.session, &exercise);
        let lock = if locked { Edit::Free(at) } else { Edit::Lock(at) };
        let said = if locked { format!("Free {}", line.name) } else { format!("Lock {}", line.name) };
        html! {
            div class="row exercise" {
                button class="pin" name="make" value=(lock) aria-pressed=(if locked { "true" } else { "false" }) aria-label=(said) title=(said) { @if locked { "◆" } @else { "◇" } }
                span class="name" { span class="soft" { (line.label) } " " (line.name) }
                span class="n" { (drawings::what(line, self.unit)) }
                (press(&Edit::Sets(at, line.sets.saturating_sub(1)), "−", "set", &format!("One set less of {}", line.name)))
                (press(&Edit::Sets(at, line.sets + 1), "+", "set", &format!("One set more of {}", line.name)))
                a class="quiet" href=(choose(id, self.ground, edits, &dotted(at))) aria-label={ "swap: another exercise instead of " (line.name) } { "swap" }
                (press(&Edit::Remove(at), "remove", "", &format!("Remove {}", line.name)))
            }
        }
    }

    fn findings(&self) -> Markup {
        let stays: Vec<&Finding> =
            self.judged.report().findings.iter().filter(|f| !self.compared.new.contains(f)).collect();
        html! {
            section aria-labelledby="findings" {
                h2 id="findings" { "What the check says" }
                (compare::findings(&self.compared, self.unit))
                @if !stays.is_empty() {
                    details { summary { (formats::count(stays.len(), "remark")) " as before" }
                        @for f in stays { p class="soft" { (f.subject) ": " (f.cause.shown_in(self.unit)) " " (f.hint.shown_in(self.unit)) " " (f.code) } }
                    }
                }
            }
        }
    }
}

/// A button that makes a change; pressed in vain where the change is none. Its name begins with what is seen on it.
fn press(edit: &Edit, sign: &str, of: &str, said: &str) -> Markup {
    let nothing = matches!(edit, Edit::Sets(_, 0));
    let seen = if of.is_empty() { sign.to_owned() } else { format!("{sign} {of}") };
    html! { button name="make" value=(edit) aria-label={ (seen) ": " (said) } disabled[nothing] { (seen) } }
}

fn choose(id: &str, ground: &Ground<'_>, edits: &[Edit], at: &str) -> String {
    format!("/clients/{id}/edit/choose?on={}&e={}&at={at}", ground.id, text(edits))
}
