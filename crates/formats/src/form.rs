//! A brief that was typed into fields. Every field is text until here; what cannot be meant is refused by the field, and the brief
//! keeps the same rules as one that was read from a file.

use super::brief;
use super::doc::{self, printable};
use super::positions::{Path, PathStep, Positions};
use serde::Deserialize;
use serde::de::value::{Error, StrDeserializer};
use serde::de::{DeserializeOwned, IntoDeserializer};
use setwright_model::brief::{
    Body, Brief, Equipment, Goal, Lift, MuscleWish, Place, Present, Priority, Screening,
};
use setwright_model::brief::{Sport, Test, TestKind, Time, TrainingAge};
use setwright_model::code::Code;
use setwright_model::refusal::{Position, Refusal, Refusals};
use setwright_model::{Catalogue, Kilograms, MassUnit, Minutes, Muscle};
use std::collections::BTreeMap;
use std::str::FromStr;

/// Reps of a lift that the form asks for, and those that could still have been done (judgement: a set that most remember).
pub const LIFT_REPS: (u32, u32) = (8, 2);

/// The fields as they were typed. What is left empty is not said, but for goal, training age, sessions, minutes and cycle, which
/// every brief has.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(from = "BTreeMap<String, String>")]
pub struct BriefForm {
    /// What the client is called.
    pub name: String,
    /// A sentence for people.
    pub about: String,
    /// A word of [`Goal`].
    pub goal: String,
    /// A word of [`TrainingAge`].
    pub training_age: String,
    /// Sessions in a cycle.
    pub sessions: String,
    /// Minutes of a session.
    pub minutes: String,
    /// Days of a cycle.
    pub cycle_days: String,
    /// Days of the cycle from 1, between commas or spaces.
    pub days: String,
    /// A word of [`Place`].
    pub place: String,
    /// Years.
    pub age: String,
    /// Body mass in `unit`.
    pub mass_kg: String,
    /// Load of a back squat in `unit`, for [`LIFT_REPS`].
    pub squat: String,
    /// Load of a bench press.
    pub press: String,
    /// Load of a barbell row.
    pub row: String,
    /// `yes` or `no`: trains already.
    pub active: String,
    /// `yes` or `no`: has a known disease.
    pub known_disease: String,
    /// `yes` or `no`: has a warning sign.
    pub signs: String,
    /// `yes` or `no`: has anything else that speaks against it.
    pub other: String,
    /// `yes` or `no`: a clinician has agreed.
    pub cleared: String,
    /// What body mass and lifts were typed in: `lb`, or kilograms.
    pub unit: String,
    /// A word of `Sex`.
    pub sex: String,
    /// Height in centimetres.
    pub height_cm: String,
    /// `yes` or `no`: nobody is there to take the bar.
    pub alone: String,
    /// `yes`: trains within an hour of getting up.
    pub early: String,
    /// What a sport beside the training is called.
    pub sport: String,
    /// Days of the cycle on which it is hard, between commas or spaces.
    pub hard_days: String,
    /// Days of a match or a race.
    pub match_days: String,
    /// Sessions a week at present.
    pub present_sessions: String,
    /// Work sets a week at present.
    pub present_sets: String,
    /// Press-ups that were counted.
    pub press_ups: String,
    /// Pull-ups that were counted.
    pub pull_ups: String,
    /// Seconds of a plank.
    pub plank: String,
    /// Rises from a chair in half a minute.
    pub chair_rises: String,
    /// What was ticked, by list and word: `aims.stairs`, `hurts.kneeling`, `conditions.heart`, `came_for.lats`; and `tried.hang`
    /// with `yes` or `no`.
    pub ticked: BTreeMap<String, String>,
}

impl From<BTreeMap<String, String>> for BriefForm {
    /// By the names of the fields; what is left over was ticked.
    fn from(mut typed: BTreeMap<String, String>) -> Self {
        let mut take = |field: &str| typed.remove(field).unwrap_or_default();
        Self {
            name: take("name"),
            about: take("about"),
            goal: take("goal"),
            training_age: take("training_age"),
            sessions: take("sessions"),
            minutes: take("minutes"),
            cycle_days: take("cycle_days"),
            days: take("days"),
            place: take("place"),
            age: take("age"),
            mass_kg: take("mass_kg"),
            squat: take("squat"),
            press: take("press"),
            row: take("row"),
            active: take("active"),
            known_disease: take("known_disease"),
            signs: take("signs"),
            other: take("other"),
            cleared: take("cleared"),
            unit: take("unit"),
            sex: take("sex"),
            height_cm: take("height_cm"),
            alone: take("alone"),
            early: take("early"),
            sport: take("sport"),
            hard_days: take("hard_days"),
            match_days: take("match_days"),
            present_sessions: take("present_sessions"),
            present_sets: take("present_sets"),
            press_ups: take("press_ups"),
            pull_ups: take("pull_ups"),
            plank: take("plank"),
            chair_rises: take("chair_rises"),
            ticked: typed,
        }
    }
}

impl BriefForm {
    /// The form as it is first shown.
    pub fn usual(unit: MassUnit) -> Self {
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

    /// The brief that is meant.
    ///
    /// # Errors
    /// Everything that cannot be meant, each by its field.
    pub fn brief(&self, catalogue: &Catalogue) -> Result<Brief, Refusals> {
        let mut read = Fields(Vec::new());
        let brief = self.read(&mut read);
        match brief {
            Some(brief) if read.0.is_empty() => {
                let broken = brief::broken(&brief, catalogue, self);
                if broken.is_empty() { Ok(brief) } else { Err(broken) }
            }
            _ => Err(read.0),
        }
    }

    /// What can be read, none when something that every brief has cannot.
    fn read(&self, read: &mut Fields) -> Option<Brief> {
        let goal: Option<Goal> = read.word("goal", &self.goal);
        let training_age: Option<TrainingAge> = read.word("training_age", &self.training_age);
        let place: Option<Place> = read.word("place", &self.place);
        let sessions = read.asked::<u32>("sessions", &self.sessions);
        let minutes = read.asked::<f64>("minutes", &self.minutes);
        let cycle_days = read.asked::<u32>("cycle_days", &self.cycle_days);
        let days = read.days("days", &self.days);
        let body = Body {
            age: read.number("age", &self.age),
            mass_kg: self.load(read, "mass_kg", &self.mass_kg),
            height_m: read.number::<f64>("height_cm", &self.height_cm).map(|cm| cm / 100.0),
            sex: read.said("sex", &self.sex),
        };
        let lifts: Vec<Lift> =
            self.lifts().into_iter().filter_map(|(id, load)| self.lift(read, id, load)).collect();
        let early = self.early == "yes";
        let time =
            Time { cycle_days: cycle_days?, days, early, ..Time::weekly(sessions?, Minutes(minutes?)) };
        Some(self.person(
            read,
            Brief {
                about: self.about.trim().to_owned(),
                body,
                equipment: Equipment { place: place?, ..Equipment::default() },
                lifts,
                screening: self.screening(),
                ..Brief::new(self.name.trim(), goal?, training_age?, time)
            },
        ))
    }

    /// The brief with what is said of the person.
    fn person(&self, read: &mut Fields, brief: Brief) -> Brief {
        let tests = [
            (TestKind::PressUps, "press_ups", &self.press_ups),
            (TestKind::PullUps, "pull_ups", &self.pull_ups),
            (TestKind::Plank, "plank", &self.plank),
            (TestKind::ChairRises, "chair_rises", &self.chair_rises),
        ];
        let counted = tests
            .into_iter()
            .filter_map(|(what, field, text)| Some(Test { what, count: read.number(field, text)? }));
        let tests = counted.collect();
        let wanted: Vec<Muscle> = self.words(read, "came_for", "yes");
        let wish = || MuscleWish { priority: Some(Priority::High), ..MuscleWish::default() };
        Brief {
            aims: self.words(read, "aims", "yes"),
            conditions: self.words(read, "conditions", "yes"),
            hurts: self.words(read, "hurts", "yes"),
            can: self.words(read, "tried", "yes"),
            cannot: self.words(read, "tried", "no"),
            alone: yes_or_no(&self.alone),
            sport: Sport {
                name: self.sport.trim().to_owned(),
                hard_days: read.days("hard_days", &self.hard_days),
                match_days: read.days("match_days", &self.match_days),
            },
            present: Present {
                sessions: read.number("present_sessions", &self.present_sessions),
                sets: read.number("present_sets", &self.present_sets),
                ..Present::default()
            },
            muscles: wanted.into_iter().map(|muscle| (muscle, wish())).collect(),
            tests,
            ..brief
        }
    }

    /// The words of a list that were ticked with `answer`.
    fn words<T: DeserializeOwned>(&self, read: &mut Fields, list: &str, answer: &str) -> Vec<T> {
        let ticked = self.ticked.iter().filter(|(_, said)| *said == answer);
        let own = ticked.filter_map(|(key, _)| key.strip_prefix(list)?.strip_prefix('.'));
        own.filter_map(|word| read.word(list, word)).collect()
    }

    /// Whether a word of a list was ticked, and with what.
    pub fn said_of(&self, list: &str, word: &str) -> Option<&str> {
        self.ticked.get(&format!("{list}.{word}")).map(String::as_str)
    }

    /// The lifts that the form asks for, with their loads as typed.
    fn lifts(&self) -> [(&'static str, &str); 3] {
        [("back_squat", &self.squat), ("bench_press", &self.press), ("barbell_row", &self.row)]
    }

    fn lift(&self, read: &mut Fields, id: &'static str, load: &str) -> Option<Lift> {
        let load_kg = self.load(read, id, load)?;
        Some(Lift { exercise: id.into(), load_kg, reps: LIFT_REPS.0, rir: LIFT_REPS.1 })
    }

    /// A mass as typed, in kilograms; pounds to the gram.
    fn load(&self, read: &mut Fields, field: &str, text: &str) -> Option<Kilograms> {
        let value = read.number::<f64>(field, text)?;
        Some(match MassUnit::of(&self.unit).unwrap_or_default() {
            MassUnit::Kg => Kilograms(value),
            MassUnit::Lb => Kilograms((1_000.0 * Kilograms::from_lb(value).get()).round() / 1_000.0),
        })
    }

    fn screening(&self) -> Screening {
        Screening {
            active: yes_or_no(&self.active),
            known_disease: yes_or_no(&self.known_disease),
            signs: yes_or_no(&self.signs),
            other: yes_or_no(&self.other),
            cleared: yes_or_no(&self.cleared),
        }
    }
}

fn yes_or_no(text: &str) -> Option<bool> {
    match text {
        "yes" => Some(true),
        "no" => Some(false),
        _ => None,
    }
}

impl Positions for BriefForm {
    fn place(&self, path: Path<'_>) -> Position {
        let typed = || self.lifts().into_iter().filter(|(_, load)| !load.trim().is_empty());
        let mut keys =
            path.iter().filter_map(|step| if let PathStep::Key(key) = step { Some(*key) } else { None });
        match path {
            [PathStep::Key("lift"), PathStep::At(i), ..] => at(typed().nth(*i).map_or("lift", |(id, _)| id)),
            _ => at(keys.next_back().unwrap_or_default()),
        }
    }
}

fn at(field: &str) -> Position {
    Position::file(format!("the form, {field}"))
}

/// Reads fields and collects what cannot be read.
struct Fields(Refusals);

impl Fields {
    /// A number as typed, with a point or a comma; none when nothing was typed.
    fn number<T: FromStr + Number>(&mut self, field: &str, text: &str) -> Option<T> {
        let text = text.trim();
        if text.is_empty() {
            return None;
        }
        let value = text.replace(',', ".").parse::<T>().ok().filter(Number::is_one);
        if value.is_none() {
            let what = format!("\"{}\" is not {}.", printable(text), T::KIND);
            self.0.push(Refusal::new(Code::WrongKind, what, T::HINT).at(at(field)));
        }
        value
    }

    /// The same where something has to be typed.
    fn asked<T: FromStr + Number>(&mut self, field: &str, text: &str) -> Option<T> {
        if text.trim().is_empty() {
            let what = format!("The field \"{field}\" is empty.");
            self.0.push(Refusal::new(Code::MissingField, what, T::HINT).at(at(field)));
        }
        self.number(field, text)
    }

    /// Days, between commas or spaces.
    fn days(&mut self, field: &str, text: &str) -> Vec<u32> {
        text.split([',', ' ']).filter(|d| !d.is_empty()).filter_map(|d| self.number(field, d)).collect()
    }

    /// One of the words that a type has, where one was chosen.
    fn said<T: DeserializeOwned>(&mut self, field: &str, text: &str) -> Option<T> {
        if text.trim().is_empty() { None } else { self.word(field, text) }
    }

    /// One of the words that a type has.
    fn word<T: DeserializeOwned>(&mut self, field: &str, text: &str) -> Option<T> {
        let word: StrDeserializer<'_, Error> = text.trim().into_deserializer();
        let refused = |e: Error| self.0.push(doc::in_our_words(&e.to_string()).at(at(field)));
        T::deserialize(word).map_err(refused).ok()
    }
}

/// What is typed as a number.
trait Number {
    const KIND: &'static str;
    const HINT: &'static str;
    fn is_one(&self) -> bool;
}

impl Number for u32 {
    const KIND: &'static str = "a whole number that is not negative";
    const HINT: &'static str = "Write a whole number, such as 3.";
    fn is_one(&self) -> bool {
        true
    }
}

impl Number for f64 {
    const KIND: &'static str = "a number";
    const HINT: &'static str = "Write a number, such as 60 or 62.5.";
    fn is_one(&self) -> bool {
        self.is_finite()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Source;
    use setwright_gym::catalogue::builtin;

    fn ida() -> BriefForm {
        BriefForm { name: "Ida".to_owned(), ..BriefForm::usual(MassUnit::Kg) }
    }

    fn refused(form: &BriefForm) -> Vec<String> {
        let problems = form.brief(builtin()).unwrap_err();
        assert!(problems.iter().all(|p| !p.hint.is_empty()), "{problems:?}");
        problems.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn the_form_as_it_comes_with_a_name_is_a_brief() {
        let form = BriefForm { name: "Ida \"the\" [oak]".to_owned(), squat: "62,5".to_owned(), ..ida() };
        let brief = form.brief(builtin()).unwrap();
        assert_eq!(brief.name, "Ida \"the\" [oak]");
        assert!((brief.lifts[0].load_kg.get() - 62.5).abs() < 1e-12);
    }

    #[test]
    fn a_form_and_a_file_that_say_the_same_are_the_same_brief() {
        let text = |t: &str| t.to_owned();
        let form = BriefForm {
            about: text("Wants to carry the shopping"),
            days: text("1, 3 5"),
            age: text("44"),
            mass_kg: text("150"),
            press: text("95"),
            active: text("no"),
            signs: text("no"),
            unit: text("lb"),
            ..ida()
        };
        let file = "name = \"Ida\"\nabout = \"Wants to carry the shopping\"\ngoal = \"general\"\ntraining_age = \"beginner\"\n\
                    [time]\nsessions = 3\nminutes = 60\ndays = [1, 3, 5]\n[body]\nage = 44\nmass_kg = 68.039\n\
                    [[lift]]\nexercise = \"bench_press\"\nload_kg = 43.091\nreps = 8\nrir = 2\n\
                    [screening]\nactive = false\nsigns = false\n";
        let source = Source { name: text("a.toml"), text: text(file) };
        assert_eq!(form.brief(builtin()), brief::parse(&source, builtin()));
    }

    #[test]
    fn what_is_said_of_the_person_is_what_a_file_says() {
        let text = |t: &str| t.to_owned();
        let ticked = [
            ("aims.stairs", "yes"),
            ("hurts.kneeling", "yes"),
            ("conditions.high_blood_pressure", "yes"),
            ("tried.hang", "yes"),
            ("tried.pull_up", "no"),
            ("tried.floor_and_up", ""),
            ("came_for.lats", "yes"),
        ];
        let form = BriefForm {
            sex: text("female"),
            height_cm: text("166"),
            alone: text("no"),
            early: text("yes"),
            sport: text("rowing"),
            hard_days: text("2 4"),
            match_days: text("6"),
            present_sessions: text("2"),
            present_sets: text("20"),
            press_ups: text("6"),
            chair_rises: text("14"),
            ticked: ticked.map(|(key, said)| (text(key), text(said))).into(),
            ..ida()
        };
        let file = "name = \"Ida\"\ngoal = \"general\"\ntraining_age = \"beginner\"\naims = [\"stairs\"]\nalone = false\n\
                    conditions = [\"high_blood_pressure\"]\nhurts = [\"kneeling\"]\ncan = [\"hang\"]\ncannot = [\"pull_up\"]\n\
                    [time]\nsessions = 3\nminutes = 60\nearly = true\n[present]\nsessions = 2\nsets = 20\n[body]\nsex = \"female\"\n\
                    height_m = 1.66\n[sport]\nname = \"rowing\"\nhard_days = [2, 4]\nmatch_days = [6]\n\
                    [muscles.lats]\npriority = \"high\"\n[[test]]\nwhat = \"press_ups\"\ncount = 6\n\
                    [[test]]\nwhat = \"chair_rises\"\ncount = 14\n";
        let source = Source { name: text("a.toml"), text: text(file) };
        assert_eq!(form.brief(builtin()), brief::parse(&source, builtin()));
        let wrong = BriefForm { ticked: [(text("aims.stair"), text("yes"))].into(), ..ida() };
        assert!(refused(&wrong)[0].starts_with("the form, aims: SW010"));
    }

    #[test]
    fn what_cannot_be_read_is_refused_field_by_field_and_all_at_once() {
        let form = BriefForm {
            minutes: "sixty\n[style]".to_owned(),
            goal: "sise".to_owned(),
            sessions: String::new(),
            age: "-4".to_owned(),
            row: "NaN".to_owned(),
            ..ida()
        };
        let said = refused(&form);
        for (field, code) in [
            ("goal", "SW010"),
            ("sessions", "SW008"),
            ("minutes", "SW009"),
            ("age", "SW009"),
            ("barbell_row", "SW009"),
        ] {
            assert!(
                said.iter().any(|s| s.starts_with(&format!("the form, {field}: {code}"))),
                "{field}: {said:?}"
            );
        }
        assert_eq!(said.len(), 5, "{said:?}");
    }

    #[test]
    fn limits_are_those_of_a_file_and_named_by_field() {
        let form =
            BriefForm { minutes: "900".to_owned(), press: "4000".to_owned(), name: " ".to_owned(), ..ida() };
        let said = refused(&form);
        for field in ["name", "minutes", "bench_press"] {
            assert!(
                said.iter().any(|s| s.starts_with(&format!("the form, {field}: SW"))),
                "{field}: {said:?}"
            );
        }
    }
}
