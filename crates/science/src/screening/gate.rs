//! The gate before training. Whatever shows a session to do asks for a [`MayTrain`], and nothing but the answers before training
//! makes one, so that no page, sheet or calendar can forget to ask.
//!
//! Open questions do not shut it: they neither allow nor forbid training, and whoever shows a session says that they are open.

use super::{Outcome, outcome};
use setwright_model::Brief;
use setwright_model::brief::Screening;
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;

/// Whoever has answers before training.
pub trait Answered {
    /// The answers that hold; none when nobody is asked after, as for a programme in a file without a brief.
    fn answers(&self) -> Option<&Screening>;
    /// What the client is called.
    fn called(&self) -> &str;
}

impl Answered for Brief {
    fn answers(&self) -> Option<&Screening> {
        Some(&self.screening)
    }
    fn called(&self) -> &str {
        &self.name
    }
}

impl<T: Answered> Answered for &T {
    fn answers(&self) -> Option<&Screening> {
        (*self).answers()
    }
    fn called(&self) -> &str {
        (*self).called()
    }
}

impl<T: Answered> Answered for Option<T> {
    fn answers(&self) -> Option<&Screening> {
        self.as_ref()?.answers()
    }
    fn called(&self) -> &str {
        self.as_ref().map_or("", Answered::called)
    }
}

/// Somebody whose answers before training do not stop them. It is made here alone, and of the very person who is shown a session.
#[derive(Clone, Copy, Debug)]
pub struct MayTrain<T>(T);

impl<T: Answered> MayTrain<T> {
    /// Lets somebody through whose answers do not stop them.
    ///
    /// # Errors
    /// What was reported, where a clinician's word comes first.
    pub fn of(whom: T) -> Result<Self, Box<Withheld>> {
        let stops = whom.answers().map(|answers| (answers, outcome(answers))).filter(|(_, o)| o.stops());
        match stops {
            None => Ok(Self(whom)),
            Some((answers, outcome)) => {
                let (client, reported) = (whom.called().to_owned(), reported(answers));
                Err(Box::new(Withheld { client, reported, outcome }))
            }
        }
    }
}

impl<T> MayTrain<T> {
    /// Who may train.
    pub const fn whom(&self) -> &T {
        &self.0
    }
}

impl<'a, T> MayTrain<&'a T> {
    /// A part of the same person: a client's brief, say. A function that knows nothing else cannot name somebody else.
    pub fn part<U>(self, of: fn(&'a T) -> U) -> MayTrain<U> {
        MayTrain(of(self.0))
    }
}

/// Why nobody is shown a session to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Withheld {
    /// What the client is called.
    pub client: String,
    /// What was reported, in words.
    pub reported: Vec<&'static str>,
    /// What the answers mean.
    pub outcome: Outcome,
}

impl Withheld {
    /// What was reported and what comes first, in sentences.
    pub fn says(&self) -> String {
        let Self { reported, outcome, .. } = self;
        format!(
            "Reported before training: {}. A clinician's word comes first. {}",
            reported.join("; "),
            outcome.action()
        )
    }

    /// How a clinician's word is recorded.
    pub const HOW: &'static str = "When a clinician has agreed, record it: answer yes to \"Has a clinician agreed\" on the brief's \
        page, or setwright screen --client NAME with --cleared yes; in a file, cleared = true under [screening].";
}

impl From<Withheld> for Refusal {
    fn from(withheld: Withheld) -> Self {
        let whose = if withheld.client.is_empty() { "this client" } else { withheld.client.as_str() };
        let what = format!("No session is shown for {whose}. {}", withheld.says());
        Self::new(Code::ClinicianFirst, what, Withheld::HOW)
    }
}

impl From<Box<Withheld>> for Refusal {
    fn from(withheld: Box<Withheld>) -> Self {
        Self::from(*withheld)
    }
}

/// What was reported that may ask for a clinician.
fn reported(answers: &Screening) -> Vec<&'static str> {
    let all = [
        (answers.signs, "a warning sign"),
        (answers.known_disease, "a known disease"),
        (answers.other, "pain, a pregnancy, an operation or something else outside these questions"),
    ];
    all.into_iter().filter(|(said, _)| *said == Some(true)).map(|(_, what)| what).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn brief(signs: Option<bool>, cleared: Option<bool>) -> Brief {
        let text = "name = \"Ida\"\ngoal = \"general\"\ntraining_age = \"beginner\"\n[time]\nsessions = 2\nminutes = 45\n";
        let mut brief: Brief = toml::from_str(text).unwrap();
        brief.screening =
            Screening { active: Some(true), known_disease: Some(false), signs, other: Some(false), cleared };
        brief
    }

    #[test]
    fn a_warning_sign_shuts_the_gate_and_a_clinicians_word_opens_it() {
        assert!(MayTrain::of(&brief(Some(false), None)).is_ok());
        let withheld = MayTrain::of(&brief(Some(true), None)).unwrap_err();
        assert_eq!(withheld.reported, ["a warning sign"]);
        let refusal = Refusal::from(withheld);
        assert_eq!(refusal.code, Code::ClinicianFirst);
        for part in ["Ida", "a warning sign", "A clinician's word comes first"] {
            assert!(refusal.what.contains(part), "{part}: {}", refusal.what);
        }
        assert!(refusal.hint.contains("--cleared yes"));
        assert!(MayTrain::of(&brief(Some(true), Some(true))).is_ok());
    }

    #[test]
    fn open_questions_and_nobody_asked_do_not_shut_it() {
        assert!(MayTrain::of(&brief(None, None)).is_ok());
        assert!(MayTrain::of(None::<&Brief>).is_ok());
    }

    #[test]
    fn a_part_of_somebody_who_may_train_may_train() {
        let brief = brief(Some(false), None);
        assert_eq!(MayTrain::of(&brief).unwrap().part(|b| b.name.as_str()).whom(), &"Ida");
    }
}
