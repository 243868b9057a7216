//! Publishing from pages that were opened a while ago: what somebody wrote since is not undone, and nobody is given a programme before
//! the questions are answered.

use super::pages::{FORM, Gym, coded};
use axum::http::StatusCode;

/// The form of a new client without answers before training.
fn unasked() -> String {
    FORM.split("&active=").next().unwrap().to_owned()
}

/// A plan of the client's next block, made and not handed out.
fn planned(gym: &Gym, path: &str) -> String {
    let to = gym.goes(&gym.post(&format!("{path}/plan"), "what=plan"));
    gym.post(&format!("{to}/stop"), "");
    gym.made(&to);
    to
}

fn refused(gym: &Gym, to: &str, code: &str) {
    let (status, said) = gym.read(gym.post(&format!("{to}/hand-out"), ""));
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{said}");
    assert!(said.contains(code), "{code}: {said}");
}

#[test]
fn an_old_hand_out_does_not_undo_a_newer_brief_and_what_it_leaves_out() {
    let gym = Gym::new();
    let path = gym.newcomer("Ida");
    let to = planned(&gym, &path);
    let page = gym.get(&format!("{path}/brief")).1;
    let text = page.split("spellcheck=\"false\">").nth(1).unwrap().split("</textarea>").next().unwrap();
    let text = text.replace("&quot;", "\"") + "\n[exclude]\nexercises = [\"back_squat\"]\n";
    gym.goes(&gym.post(&format!("{path}/brief"), &format!("text={}", coded(&text))));
    refused(&gym, &to, "SW093");
    let after = gym.get(&format!("{path}/brief")).1;
    assert!(after.contains("Some movements are left out") && after.contains("back_squat"), "{after}");
}

#[test]
fn an_old_hand_out_does_not_undo_a_warning_sign() {
    let gym = Gym::new();
    let path = gym.newcomer("Ida");
    let to = planned(&gym, &path);
    gym.goes(&gym.post(&format!("{path}/screening"), "active=yes&known_disease=no&signs=yes&other=no"));
    refused(&gym, &to, "SW089");
    assert!(gym.get(&format!("{path}/brief")).1.contains("there is a warning sign now"));
    let page = gym.get(&to).1;
    assert!(page.contains("a warning sign. A clinician") && !page.contains(">Hand out<"), "{page}");
}

#[test]
fn of_two_plans_begun_together_only_the_first_is_handed_out() {
    let gym = Gym::new();
    let path = gym.newcomer("Ida");
    let (one, other) = (planned(&gym, &path), planned(&gym, &path));
    assert!(gym.goes(&gym.post(&format!("{one}/hand-out"), "")).ends_with("/programme"));
    refused(&gym, &other, "SW093");
}

#[test]
fn an_unscreened_client_gets_a_draft_that_asks_the_questions_and_waits_for_them() {
    let gym = Gym::new();
    let to = gym.goes(&gym.post("/clients/new", &format!("name=Ida&{}", unasked())));
    gym.made(&to);
    let (status, page) = gym.get(&to);
    assert_eq!(status, StatusCode::OK, "it is not handed out");
    let (draft, questions) = (page.find("This is a draft").unwrap(), page.find("name=\"signs\"").unwrap());
    let first_session = page.find("Session 1, day").unwrap();
    assert!(draft < questions && questions < first_session, "{page}");
    assert!(!page.contains(">Hand out<"), "{page}");
    refused(&gym, &to, "SW094");
    let (path, plan) = to.split_once("/making/").unwrap();
    assert_ne!(gym.get(&format!("{path}/programme")).0, StatusCode::OK);

    let answers = format!("active=yes&known_disease=no&signs=no&other=no&plan={plan}");
    assert_eq!(gym.goes(&gym.post(&format!("{path}/screening"), &answers)), to);
    let page = gym.get(&to).1;
    assert!(!page.contains("This is a draft") && page.contains(">Hand out<"), "{page}");
    assert!(gym.goes(&gym.post(&format!("{to}/hand-out"), "")).ends_with("/programme"));
    assert_eq!(gym.get(&format!("{path}/programme")).0, StatusCode::OK);
}

#[test]
fn answers_lead_back_to_a_plan_and_nowhere_else() {
    let gym = Gym::new();
    let path = gym.newcomer("Ida");
    let answers = "active=yes&known_disease=no&signs=no&other=no&plan=//elsewhere.example/";
    let to = gym.goes(&gym.post(&format!("{path}/screening"), answers));
    assert_eq!(to, format!("{path}/brief#screening"));
}
