//! The whole programme: the cycle, each session, doses against the brief, what was found, what to heed.

use super::{cautions, cycle, doses, findings, made, sessions, write};
use crate::sheets::{self, Print, Subject};
use crate::view;
use setwright_coaching::screen;
use setwright_model::refusal::Refusal;
use setwright_paper::pdf::Piece;

/// Prints a programme.
pub fn programme(subject: Subject<'_>, print: Print<'_>) -> Result<Vec<u8>, Refusal> {
    let (judged, brief) = (subject.judged, subject.brief());
    let shown = view::programme(judged, brief, print.catalogue);
    let about = brief.map(|b| b.about.trim()).filter(|a| !a.is_empty());
    let mut pieces: Vec<Piece> = about.map(|a| Piece::Text(a.to_owned())).into_iter().collect();
    let draft = brief.and_then(|b| screen::draft(&b.screening));
    pieces.splice(0..0, draft.map(Piece::Caution));
    if !subject.note.is_empty() {
        pieces.push(Piece::Caution(subject.note.to_owned()));
    }
    pieces.push(Piece::Section("The cycle".to_owned()));
    pieces.push(cycle(&shown));
    pieces.extend(sessions(judged.programme(), &shown, print));
    pieces.extend(doses(&shown));
    pieces.push(Piece::Section("To look at".to_owned()));
    pieces.extend(findings(&judged.report().findings, print.unit));
    pieces.extend(cautions(sheets::cautions(brief)));
    let title =
        if shown.client.is_empty() { "Programme".to_owned() } else { format!("Programme: {}", shown.client) };
    let under = format!(
        "{} in {} days. {}.",
        super::super::sheets::words::count(shown.sessions.len(), "session"),
        shown.cycle_days,
        made(print)
    );
    write(title, under, pieces, print)
}
