//! A sheet as it came, line by line: what each line was taken for, what hangs on it. What is about a block hangs on its first
//! line, what is about a session on the first line of that, and what is about the whole on none.

use super::audit::AuditView;
use super::view::{BlockView, LineView, SessionView};
use setwright_formats::either::ReadIn;
use setwright_model::refusal::Refusals;
use setwright_model::{Finding, FindingPlace};

/// A sheet, line by line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AnnotatedSheet {
    /// Lines in their order.
    pub lines: Vec<AnnotatedLine>,
    /// What is wrong with the sheet as a whole.
    pub problems: Refusals,
    /// What is said of the programme as a whole.
    pub findings: Vec<Finding>,
}

/// A line with what hangs on it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AnnotatedLine {
    /// Number from 1.
    pub number: usize,
    /// As it came.
    pub text: String,
    /// What it was taken for.
    pub taken: Vec<Taken>,
    /// Why it could not be read.
    pub problems: Refusals,
    /// What is said of it.
    pub findings: Vec<Finding>,
}

/// What a line was taken for.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken {
    /// Session, from 1.
    pub session: usize,
    /// Day of the cycle.
    pub day: u32,
    /// Block, from 0.
    pub block: usize,
    /// Exercise of the block, from 0.
    pub lane: usize,
    /// Rest after a set or a round.
    pub rest_s: f64,
    /// The exercise.
    pub line: LineView,
    /// What the line did not say.
    pub assumed: Vec<String>,
}

/// The lines of a sheet that could not be read.
pub fn refused(text: &str, problems: Refusals) -> AnnotatedSheet {
    let mut sheet = AnnotatedSheet { lines: lines_of(text), ..AnnotatedSheet::default() };
    for problem in problems {
        let at = problem.place.as_ref().and_then(|p| p.line);
        match at.and_then(|line| written(&mut sheet.lines, line)) {
            Some(line) => line.problems.push(problem),
            None => sheet.problems.push(problem),
        }
    }
    sheet
}

/// The lines of a sheet that was read and judged.
pub fn judged(text: &str, read: &ReadIn, view: &AuditView) -> AnnotatedSheet {
    let mut sheet = AnnotatedSheet { lines: lines_of(text), ..AnnotatedSheet::default() };
    if read.rows.is_empty() {
        for (number, taken) in of_toml(text, read, view) {
            take(&mut sheet, number, taken);
        }
    } else {
        for row in &view.understood {
            let session = view.programme.sessions.iter().find(|s| s.day == row.day);
            let found =
                session.and_then(|s| exercises(s).find(|(_, _, l)| l.label == row.label).map(|at| (s, at)));
            if let Some((session, at)) = found {
                take(&mut sheet, row.line, taken(session, at, row.assumed.clone()));
            }
        }
    }
    for finding in &view.findings {
        match line_of(&mut sheet.lines, finding.place) {
            Some(line) => line.findings.push(finding.clone()),
            None => sheet.findings.push(finding.clone()),
        }
    }
    sheet
}

fn lines_of(text: &str) -> Vec<AnnotatedLine> {
    let line = |(nth, text): (usize, &str)| AnnotatedLine {
        number: nth + 1,
        text: text.to_owned(),
        ..AnnotatedLine::default()
    };
    text.lines().enumerate().map(line).collect()
}

/// The line of this number, or the next one with something on it.
fn written(lines: &mut [AnnotatedLine], number: usize) -> Option<&mut AnnotatedLine> {
    lines.iter_mut().skip(number.saturating_sub(1)).find(|l| !l.text.trim().is_empty())
}

fn take(sheet: &mut AnnotatedSheet, number: usize, taken: Taken) {
    if let Some(line) = written(&mut sheet.lines, number) {
        line.taken.push(taken);
    }
}

/// Block and lane from 0, the block, and the exercise.
fn exercises(session: &SessionView) -> impl Iterator<Item = ([usize; 2], &BlockView, &LineView)> {
    session.blocks.iter().enumerate().flat_map(|(nth, block)| {
        block.lines.iter().enumerate().map(move |(lane, line)| ([nth, lane], block, line))
    })
}

fn taken(
    session: &SessionView,
    ([block, lane], view, line): ([usize; 2], &BlockView, &LineView),
    assumed: Vec<String>,
) -> Taken {
    Taken {
        session: session.number,
        day: session.day,
        block,
        lane,
        rest_s: view.rest_s,
        line: line.clone(),
        assumed,
    }
}

/// Lines of TOML that name an exercise, each with the exercise: those that begin with "id", in the order of the file.
/// None when they are not as many as the exercises.
fn of_toml(text: &str, read: &ReadIn, view: &AuditView) -> Vec<(usize, Taken)> {
    let mut numbers = Vec::new();
    for (nth, line) in text.lines().enumerate().filter(|(_, l)| !l.trim_start().starts_with('#')) {
        let keys = line.split(['{', ',', ' ', '\t']).collect::<Vec<_>>();
        let named = keys.iter().enumerate().filter(|(at, key)| {
            let rest = keys.iter().skip(at + 1).find(|k| !k.is_empty());
            key.starts_with("id=") || (**key == "id" && rest.is_some_and(|r| r.starts_with('=')))
        });
        numbers.extend(named.map(|_| nth + 1));
    }
    // The view has its sessions in the order of their days, the file as they were written.
    let written = &read.programme.sessions;
    let mut order: Vec<usize> = (0..written.len()).collect();
    order.sort_by_key(|n| written.get(*n).map_or(0, |s| s.day));
    let rank = |n: usize| order.iter().position(|o| *o == n);
    let shown = (0..written.len()).filter_map(|n| view.programme.sessions.get(rank(n)?));
    let all: Vec<Taken> = shown.flat_map(|s| exercises(s).map(move |at| taken(s, at, Vec::new()))).collect();
    if all.len() == numbers.len() { numbers.into_iter().zip(all).collect() } else { Vec::new() }
}

/// The line that a finding is about: that of its exercise, the first of its block, or the first of its session.
fn line_of(lines: &mut [AnnotatedLine], place: FindingPlace) -> Option<&mut AnnotatedLine> {
    let session = place.session()? + 1;
    let exact = |taken: &Taken| match place {
        FindingPlace::Exercise(_, block, lane) => (taken.block, taken.lane) == (block, lane),
        FindingPlace::Block(_, block) => taken.block == block,
        _ => true,
    };
    let find = |is_it: &dyn Fn(&Taken) -> bool| {
        lines.iter().position(|l| l.taken.iter().any(|t| t.session == session && is_it(t)))
    };
    let at = find(&exact).or_else(|| find(&|_| true))?;
    lines.get_mut(at)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audit;
    use setwright_formats::{Source, either, programme};
    use setwright_gym::catalogue::builtin;
    use setwright_model::MassUnit;

    const SHEET: &str = "\nday,exercise,sets,reps,load\n\n1,bench press,4,6-8,80 kg\n1,plank,3,30 s,\n4,back squat,5,5,100 kg\n";

    fn sheet(name: &str, text: &str) -> AnnotatedSheet {
        let source = Source { name: name.to_owned(), text: text.to_owned() };
        let read = either::read(&source, builtin(), None, MassUnit::Kg).unwrap();
        judged(text, &read, &audit::audit(name, &read, None, builtin()))
    }

    fn names(sheet: &AnnotatedSheet) -> Vec<(usize, &str)> {
        sheet.lines.iter().flat_map(|l| l.taken.iter().map(|t| (l.number, t.line.name.as_str()))).collect()
    }

    #[test]
    fn each_line_has_its_exercise_and_what_is_said_of_it() {
        let sheet = sheet("sheet.csv", SHEET);
        assert_eq!(names(&sheet), [(4, "bench press"), (5, "plank"), (6, "back squat")]);
        // As browsers and spreadsheets end lines.
        let returned = SHEET.replace('\n', "\r\n");
        assert_eq!(names(&self::sheet("sheet.csv", &returned)), names(&sheet));
        let warm = |line: usize| sheet.lines[line - 1].findings.iter().any(|f| f.code == "SW140");
        assert_eq!(
            [warm(4), warm(5), warm(6)],
            [true, false, true],
            "no warm-up is written for the big lifts"
        );
        let all: usize = sheet.lines.iter().map(|l| l.findings.len()).sum();
        assert!(all > 0 && sheet.findings.iter().all(|f| !f.subject.starts_with("session")));
    }

    #[test]
    fn a_programme_in_toml_is_taken_line_by_line_too() {
        let source = Source { name: "sheet.csv".to_owned(), text: SHEET.to_owned() };
        let read = either::read(&source, builtin(), None, MassUnit::Kg).unwrap();
        let toml = programme::write(&read.programme, &["An id = in a note.".to_owned()]);
        let sheet = sheet("sheet.toml", &toml);
        assert_eq!(
            names(&sheet).into_iter().map(|(_, n)| n).collect::<Vec<_>>(),
            ["bench press", "plank", "back squat"]
        );
        assert!(
            names(&sheet).iter().all(|(n, name)| toml
                .lines()
                .nth(n - 1)
                .unwrap()
                .contains(&name.replace(' ', "_")))
        );
    }

    #[test]
    fn what_cannot_be_read_hangs_on_its_line() {
        let text = SHEET.replace("plank", "plnk").replace("4,back", "0,back");
        let source = Source { name: "sheet.csv".to_owned(), text: text.clone() };
        let sheet = refused(&text, either::read(&source, builtin(), None, MassUnit::Kg).unwrap_err());
        let wrong: Vec<usize> =
            sheet.lines.iter().filter(|l| !l.problems.is_empty()).map(|l| l.number).collect();
        assert_eq!((wrong, sheet.problems.len()), (vec![5, 6], 0));
    }
}
