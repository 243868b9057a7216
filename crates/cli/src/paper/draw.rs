//! `draw`: one drawing, as SVG or as an image.

use super::{PaperSubject, brief, is_file, known, nothing, subject};
use crate::clock;
use crate::paper_args::{DrawArgs, DrawKind};
use crate::reply::{Look, Reply};
use setwright_coaching::insight::Known;
use setwright_coaching::roadmap::{self, RoadmapRequest, Where};
use setwright_coaching::{belief, curve, plan};
use setwright_formats as files;
use setwright_gym::catalogue::builtin;
use setwright_model::code::Code;
use setwright_model::refusal::{Refusal, Refusals};
use setwright_model::{Brief, MassUnit, Seconds};
use setwright_present::{dates, drawings, view};
use std::fmt::Write as _;
use std::path::Path;

/// Pixels of an image to a unit of the drawing: sharp on a screen of high density, and on paper at its size.
const PIXELS: f64 = 2.0;
/// Where chance starts, as for the commands that print the same as text.
const SEED: u64 = 1;

/// Draws.
pub fn run(args: &DrawArgs, look: Look, ledger: &Path) -> Result<Reply, Refusals> {
    let svg = drawing(args, look, ledger)?;
    let png = |path: &Path| -> Result<String, Refusals> {
        let image = setwright_paper::png(&svg, PIXELS).map_err(|e| vec![too_large(&e)])?;
        files::write_bytes(path, &image).map_err(|p| vec![p])?;
        Ok(format!("Wrote {}.\n", path.display()))
    };
    let mut talk = args.png.as_deref().map(png).transpose()?.unwrap_or_default();
    match &args.out {
        Some(path) if path.extension().is_some_and(|e| e.eq_ignore_ascii_case("png")) => talk += &png(path)?,
        Some(path) => {
            files::write(path, &svg).map_err(|p| vec![p])?;
            let _ = writeln!(talk, "Wrote {}.", path.display());
        }
        None if args.png.is_none() => return Ok(Reply { data: svg + "\n", talk, ..Reply::default() }),
        None => {}
    }
    Ok(Reply { talk, ..Reply::default() })
}

fn too_large(error: &setwright_paper::NotDrawn) -> Refusal {
    let what = format!("No image was made: {error}.");
    Refusal::new(Code::Usage, what, "Ask for a smaller --width, or write SVG.")
}

fn drawing(args: &DrawArgs, look: Look, ledger: &Path) -> Result<String, Refusals> {
    let width = f64::from(args.width);
    match args.kind {
        DrawKind::Lanes => lanes(&subject(&args.of, look.units, ledger)?, args.session, width, look.units),
        DrawKind::Doses => Ok(doses(&subject(&args.of, look.units, ledger)?, width)),
        DrawKind::Strip => {
            let known = client(args, ledger)?;
            Ok(setwright_paper::strip(&drawings::strip(&known, dates::short, builtin()), width, "strip"))
        }
        DrawKind::Strength => strength(&client(args, ledger)?, args.exercise.as_deref(), width, look.units),
        DrawKind::Curve => trade_off(&planned(args, ledger)?.0, width),
        DrawKind::Roadmap => ahead(args, ledger, width, look.units),
    }
}

/// The drawing needs a client of the ledger.
fn client(args: &DrawArgs, ledger: &Path) -> Result<Known, Refusals> {
    if is_file(&args.of.whom) {
        let what = format!("{} is a file, and this is drawn from what was logged.", args.of.whom);
        let hint = "Name a client of the ledger; setwright client list shows them.";
        return Err(vec![Refusal::new(Code::Usage, what, hint)]);
    }
    known(&args.of.whom, ledger)
}

/// The brief that is planned, and the client when the ledger was asked.
fn planned(args: &DrawArgs, ledger: &Path) -> Result<(Brief, Option<Known>), Refusals> {
    if is_file(&args.of.whom) {
        return Ok((brief(Path::new(&args.of.whom))?, None));
    }
    let known = known(&args.of.whom, ledger)?;
    let given = args.of.brief.as_deref().map(brief).transpose()?;
    let brief = known.brief_to_plan(given).map_err(|p| vec![p])?;
    Ok((brief, Some(known)))
}

fn lanes(of: &PaperSubject, session: usize, width: f64, unit: MassUnit) -> Result<String, Refusals> {
    let shown = view::programme(&of.judged, of.to_train()?.brief(), builtin());
    let place = session.checked_sub(1);
    let both = place.and_then(|i| of.judged.programme().sessions.get(i).zip(shown.sessions.get(i)));
    let Some((session, shown)) = both else {
        let count = of.judged.programme().sessions.len();
        let what = format!("There is no session {session}: the programme has {count}.");
        return Err(vec![Refusal::new(Code::Usage, what, "Sessions count from 1.")]);
    };
    Ok(setwright_paper::lanes(&drawings::lanes(session, shown, unit, builtin()), width, "lanes"))
}

fn doses(of: &PaperSubject, width: f64) -> String {
    let shown = view::programme(&of.judged, of.brief.as_ref(), builtin());
    setwright_paper::doses("Sets a week by muscle", &drawings::doses(&shown), width, "doses")
}

fn strength(known: &Known, exercise: Option<&str>, width: f64, unit: MassUnit) -> Result<String, Refusals> {
    let id = match exercise {
        Some(name) => Some(files::names::resolve(name, builtin()).map_err(|p| vec![p])?.id.clone()),
        None => drawings::most_done(known),
    };
    let view = id.and_then(|id| drawings::strength_of(known, &id, unit, builtin()));
    let Some(view) = view else {
        let hint = "setwright review CLIENT lists the exercises whose strength is known.";
        return Err(vec![nothing(known, "log of this exercise from which strength can be told", hint)]);
    };
    Ok(setwright_paper::strength(&view, width, "strength"))
}

fn trade_off(brief: &Brief, width: f64) -> Result<String, Refusals> {
    let limit = Seconds(plan::SECONDS);
    let search = curve::CurveSearch { seed: SEED, moves: plan::MOVES, limit };
    let (found, _) = curve::trade_off(brief, builtin(), search, &clock::wall().stopwatch(), &mut |_| {})
        .map_err(|p| vec![p])?;
    if found.points.is_empty() {
        return Err(vec![clash(brief, &found.conflict)]);
    }
    Ok(setwright_paper::curve(&drawings::curve(&brief.name, &found), width, "curve"))
}

fn ahead(args: &DrawArgs, ledger: &Path, width: f64, unit: MassUnit) -> Result<String, Refusals> {
    let (brief, known) = planned(args, ledger)?;
    let belief = known.map_or_else(|| belief::of(&brief, builtin()), |known| known.belief);
    let standing = Where::usual(brief.training_age);
    let limit = Seconds(plan::SECONDS);
    let ask = RoadmapRequest { weeks: args.weeks, standing, seed: SEED, moves: roadmap::MOVES, limit };
    let (found, _) =
        roadmap::roadmap(&brief, &belief, builtin(), ask, &clock::wall().stopwatch(), &mut |_| {})
            .map_err(|p| vec![p])?;
    if found.weeks.is_empty() {
        return Err(vec![clash(&brief, &found.conflict)]);
    }
    Ok(setwright_paper::roadmap(&drawings::roadmap(&brief.name, &found, unit), width, "roadmap"))
}

fn clash(brief: &Brief, conflict: &[String]) -> Refusal {
    let what = format!("There is nothing to draw for {}. {}", brief.name, conflict.join(" "));
    Refusal::new(
        Code::NoMatch,
        what,
        "setwright plan with the same brief names what clashes and the ways out.",
    )
}
