//! The words of a session on paper: what to lift, what to hang, how to get warm, when to rest. "B1 and B2 in turn".

pub use crate::figures::{count, number};
use crate::loads;
pub use crate::loads::is_by_feel;
use crate::view::{self, BlockView, LineView, LoadView, StepView};
use setwright_model::exercise::LoadKind;
use setwright_model::{BlockKind, Catalogue, ExerciseId, Kilograms, MassUnit};
use setwright_paper::pdf::{SheetBlock, SheetLine};

/// In what loads are written, and what is known of exercises.
#[derive(Clone, Copy)]
pub struct Words<'a> {
    /// Kilograms or pounds. Discs carry the number that is cast on them.
    pub unit: MassUnit,
    /// Exercises.
    pub catalogue: &'a Catalogue,
}

/// Discs of a load.
enum Plates {
    /// The bar or the machine alone.
    None,
    /// By their numbers, of each side.
    Listed(String),
}

impl Words<'_> {
    /// A block.
    pub fn block(&self, block: &BlockView) -> SheetBlock {
        let rest = short_time(block.rest_s);
        let others = |own: &LineView| {
            let labels = block.lines.iter().filter(|l| l.label != own.label).map(|l| l.label.as_str());
            labels.collect::<Vec<_>>().join(" and ")
        };
        let how = |line: &LineView| match block.kind {
            BlockKind::Straight => format!("Rest {rest} after each set."),
            BlockKind::Alternating => {
                format!("In turn with {}: a set of each, then rest {rest}.", others(line))
            }
            BlockKind::SameMuscle => {
                format!("Back to back with {}: no rest between, then rest {rest}.", others(line))
            }
        };
        let lines = block.lines.iter().enumerate();
        let lines = lines.map(|(nth, l)| self.line(l, if nth == 0 { how(l) } else { String::new() }));
        SheetBlock { lines: lines.collect() }
    }

    fn line(&self, line: &LineView, how: String) -> SheetLine {
        let unit = self.unit.symbol();
        let weighed = !matches!(line.load.kind, LoadKind::Body | LoadKind::Band);
        let counted = if line.counted_in.is_empty() { "reps" } else { line.counted_in };
        let fields = weighed.then_some(unit).into_iter().chain([counted, "left"]);
        let before = [how, self.ramp(line)];
        SheetLine {
            label: line.label.clone(),
            name: line.name.clone(),
            target: format!("{}, {} left", sets_by_reps(line), line.rir),
            load: self.load(&line.load),
            hang: self.hung(&line.id, &line.load).unwrap_or_default(),
            before: before.into_iter().filter(|s| !s.is_empty()).collect::<Vec<_>>().join(" "),
            sets: line.sets,
            fields: fields.map(str::to_owned).collect(),
        }
    }

    /// A load: what is on the bar, in each hand, added to the body.
    pub fn load(&self, load: &LoadView) -> String {
        loads::load(load, self.unit)
    }

    /// A weight with its unit.
    pub fn weight(&self, kg: Kilograms) -> String {
        self.unit.load(kg)
    }

    /// What to hang on which side before the sets, where there is a bar or a machine to hang it on.
    fn hung(&self, id: &str, load: &LoadView) -> Option<String> {
        Some(match self.plates(id, load)? {
            Plates::None => "nothing to hang".to_owned(),
            Plates::Listed(list) => format!("hang {list}"),
        })
    }

    /// The discs of a load, where there is a bar or a machine to hang them on.
    fn plates(&self, id: &str, load: &LoadView) -> Option<Plates> {
        let discs = load.discs.as_ref()?;
        if discs.is_empty() {
            return Some(Plates::None);
        }
        let exercise = self.catalogue.get(&ExerciseId::from(id));
        let sides = if exercise.is_some_and(view::has_two_sides) { " a side" } else { "" };
        Some(Plates::Listed(format!("{}{sides}", loads::plates(discs, self.unit, " + "))))
    }

    /// The warm-up in a sentence; nothing when there is none.
    pub fn ramp(&self, line: &LineView) -> String {
        if line.ramp.is_empty() {
            return String::new();
        }
        let step = |s: &StepView| {
            if s.load.kg.is_none() {
                return format!("{} easy", s.reps);
            }
            let hung = match self.plates(&line.id, &s.load) {
                None => String::new(),
                Some(Plates::None) => " (bare)".to_owned(),
                Some(Plates::Listed(list)) => format!(" ({list})"),
            };
            format!("{} \u{d7} {}{hung}", s.reps, self.load(&s.load))
        };
        format!("Warm-up: {}.", line.ramp.iter().map(step).collect::<Vec<_>>().join(", "))
    }
}

/// "3 × 8–12 a side", "2 × 30 s".
pub fn sets_by_reps(line: &LineView) -> String {
    let [low, high] = line.reps;
    let reps = if low == high { low.to_string() } else { format!("{low}\u{2013}{high}") };
    let unit = if line.counted_in.is_empty() { String::new() } else { format!(" {}", line.counted_in) };
    let side = if line.each_side { " a side" } else { "" };
    format!("{} \u{d7} {reps}{unit}{side}", line.sets)
}

/// What to leave in reserve.
pub fn left(rir: u32) -> String {
    match rir {
        0 => "to the last one".to_owned(),
        n => format!("{n} left in you"),
    }
}

/// Seconds up to a minute and a half, then minutes and seconds.
pub fn short_time(seconds: f64) -> String {
    let whole = seconds.round().max(0.0) as u64;
    match (whole / 60, whole % 60) {
        _ if whole <= 90 => format!("{whole} s"),
        (minutes, 0) => format!("{minutes} min"),
        (minutes, rest) => format!("{minutes}:{rest:02} min"),
    }
}
