//! `screen`: asks the open questions on a terminal, or takes the answers, and says what they mean.

use super::args::ScreenArgs;
use super::show::json;
use super::text::wrapped;
use crate::ledger::with_ledger;
use crate::reply::{DONE, FINDINGS, Reply};
use setwright_coaching::screen::{self, ScreenView};
use setwright_model::brief::Screening;
use setwright_model::code::Code;
use setwright_model::refusal::{Refusal, Refusals};
use setwright_science::screening::{Question, WARNING_SIGNS};
use setwright_store::Opening;
use std::io::{self, BufRead, IsTerminal, Write};
use std::path::Path;

/// Asks what is open, and says what the answers mean.
pub fn run(args: &ScreenArgs, ledger: &Path) -> Result<Reply, Refusals> {
    let mut screening = Screening {
        active: args.active,
        known_disease: args.known_disease,
        signs: args.signs,
        other: args.other,
        cleared: args.cleared,
    };
    if !screen::open(&screening).is_empty() {
        if !(io::stdin().is_terminal() && io::stderr().is_terminal()) {
            return Err(vec![unanswered(&screen::open(&screening))]);
        }
        ask_open(&mut screening, &mut io::stdin().lock(), &mut io::stderr().lock())
            .map_err(|_| vec![unanswered(&screen::open(&screening))])?;
    }
    let mut talk = String::new();
    if let Some(client) = &args.client {
        let kept = with_ledger(ledger, Opening::Existing, |uow| {
            screen::keep(uow, client, &screening).map_err(|p| vec![p])
        })?;
        talk = format!("Kept as the answers of {kept}.\n");
    }
    let view = screen::view(&screening);
    let code = if view.may_train { DONE } else { FINDINGS };
    let data = if args.json { json(&view) } else { page(&view) };
    Ok(Reply { data, talk, code })
}

fn unanswered(open: &[Question]) -> Refusal {
    let options: Vec<String> =
        open.iter().map(|q| format!("--{} yes|no", q.id().replace('_', "-"))).collect();
    Refusal::new(
        Code::Usage,
        "Not all questions before training are answered, and there is no terminal to ask them on.",
        format!("Answer them: {}.", options.join(", ")),
    )
}

/// Asks until every question that could change the outcome is answered.
fn ask_open(screening: &mut Screening, from: &mut impl BufRead, to: &mut impl Write) -> io::Result<()> {
    while let Some(question) = screen::open(screening).first().copied() {
        write!(to, "{}", wrapped(question.text(), 0, 0))?;
        if question == Question::Signs {
            for sign in WARNING_SIGNS {
                writeln!(to, "  - {sign}")?;
            }
        }
        let yes = ask(from, to, "yes or no? ")?;
        screen::answer(screening, question, yes);
    }
    let asks_clinician = !matches!(screen::view(screening).outcome, "continue" | "start_gently" | "cleared");
    if asks_clinician && screening.cleared.is_none() {
        writeln!(to, "Has a clinician agreed to this training, knowing of it?")?;
        screening.cleared = Some(ask(from, to, "yes or no? ")?);
    }
    Ok(())
}

fn ask(from: &mut impl BufRead, to: &mut impl Write, prompt: &str) -> io::Result<bool> {
    loop {
        write!(to, "{prompt}")?;
        to.flush()?;
        let mut line = String::new();
        if from.read_line(&mut line)? == 0 {
            return Err(io::ErrorKind::UnexpectedEof.into());
        }
        match line.trim().to_lowercase().as_str() {
            "y" | "yes" => return Ok(true),
            "n" | "no" => return Ok(false),
            _ => writeln!(to, "Please answer yes or no.")?,
        }
    }
}

fn page(view: &ScreenView) -> String {
    let mut out = wrapped(&view.meaning, 0, 0);
    out.push_str(&wrapped(view.action, 0, 0));
    out.push('\n');
    out.push_str(&wrapped(view.caution, 0, 0));
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(answers: &str) -> (io::Result<()>, Screening, String) {
        let (mut screening, mut said) = (Screening::default(), Vec::new());
        let outcome = ask_open(&mut screening, &mut answers.as_bytes(), &mut said);
        (outcome, screening, String::from_utf8(said).unwrap())
    }

    #[test]
    fn the_questions_are_asked_until_the_outcome_is_settled() {
        let (outcome, screening, said) = asked("yes\nNO\nmaybe\nn\nno\n");
        assert!(outcome.is_ok());
        assert_eq!(
            (screening.active, screening.signs, screening.other),
            (Some(true), Some(false), Some(false))
        );
        assert!(said.contains("Please answer yes or no."), "{said}");
        assert!(said.contains("swollen ankles"), "{said}");
    }

    #[test]
    fn a_sign_leads_to_the_question_after_a_clinician() {
        let (_, screening, _) = asked("no\nno\nyes\nyes\n");
        assert_eq!(screening.cleared, Some(true));
        assert_eq!(screen::view(&screening).outcome, "cleared");
    }

    #[test]
    fn a_terminal_that_hangs_up_leaves_questions_open() {
        assert!(asked("no\n").0.is_err());
    }
}
