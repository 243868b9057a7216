//! Days that would teach more, in plain columns.

use crate::show::{count, number};
use crate::text::{Columns, LEFT, RIGHT, wrapped};
use setwright_coaching::insight::LearnView;
use std::fmt::Write as _;

/// What other days would teach.
pub fn page(view: &LearnView) -> String {
    let mut out = format!(
        "\nTo learn faster: the coming {}, each within {} of its usual one\n",
        count(view.sessions.len(), "session"),
        count(view.within_days as usize, "day"),
    );
    for session in &view.sessions {
        let (usual, proposed) = (session.usual.date(), session.proposed.date());
        let instead = if usual == proposed { String::new() } else { format!(" instead of {usual}") };
        let _ = writeln!(out, "  session {}  {proposed}{instead}", session.number);
    }
    if !view.moves() {
        out.push_str(&wrapped("No other days within these limits teach more than the usual ones.", 2, 2));
    }
    out.push_str("\nWhat is known of recovery, in per cent of all there is to know\n");
    let mut columns = Columns::new(&[LEFT, RIGHT, RIGHT, RIGHT]);
    columns.row(["muscle", "now", "usual days", "these days"]);
    for m in &view.muscles {
        let percent = |v: f64| number(v, 0);
        columns.row([
            m.name.to_owned(),
            percent(m.now_percent),
            percent(m.usual_percent),
            percent(m.proposed_percent),
        ]);
    }
    out.push_str(&columns.lines(2));
    let limit = format!(
        "Expected over what is believed now. On these days no muscle that is trained hard is expected to lack more than {} % \
         of its strength when the session begins. Nothing was moved.",
        number(view.lacks_most_percent, 0)
    );
    out.push_str(&wrapped(&limit, 0, 0));
    out
}
