//! The codes of this crate, with why each rule exists and where it comes from. Readers have
//! `SW0xx`, the planner `SW3xx`.

use setwright_model::finding::CodeInfo;

const fn code(code: &'static str, title: &'static str, why: &'static str, source: &'static str) -> CodeInfo {
    CodeInfo { code, title, why, source }
}

/// Every code that an audit can give, in order.
pub const CODES: &[CodeInfo] = &[
    code(
        "SW101",
        "session too long",
        "A session that runs over is cut short by the client, and what is cut is the last exercise. The session \
         clock counts set-up, warm-up, work, walking and rest.",
        "judgement; the clock is checked against Schoenfeld 2019, MSSE 51:94 (A, B)",
    ),
    code(
        "SW102",
        "strain above the ceiling",
        "What is still in a muscle from earlier sessions adds to what it gets today. Fatigue decays smoothly, so \
         the debt is weighed and capped; no dose ducks under a threshold.",
        "McLester 2003, JSCR 17:259 (A): lower at 24 h, back at 48 h; weight and ceiling are judgement",
    ),
    code(
        "SW103",
        "trained again too soon",
        "A muscle that is trained hard before it has recovered does less and gains less. Half a day early is \
         within what is known of anyone's recovery.",
        "Soares 2015, JSCR 29:2594 (A); Ferreira 2017, JSCR 31:71 (A); the allowance is judgement",
    ),
    code(
        "SW104",
        "muscle short of its least",
        "The coach has said the least that a muscle is to get; sets count by how much of each goes to it.",
        "Pelland 2025, Sports Med, doi 10.1007/s40279-025-02344-w (A): 1 direct, 0.5 indirect",
    ),
    code(
        "SW105",
        "muscle over its most",
        "The coach has said the most that a muscle may get; indirect work counts too.",
        "Pelland 2025, Sports Med, doi 10.1007/s40279-025-02344-w (A): 1 direct, 0.5 indirect",
    ),
    code(
        "SW106",
        "muscle trained too seldom",
        "All major muscles are trained on two or more days a week, unless they matter little to the client or \
         cannot be trained.",
        "WHO 2020 (M); the dose from which a session counts is judgement",
    ),
    code(
        "SW107",
        "sessions or days not as asked",
        "A programme fits the days the client has, and each day holds one session.",
        "common practice, no source (T)",
    ),
    code(
        "SW110",
        "unknown exercise",
        "What is not in the catalogue cannot be timed or counted.",
        "judgement",
    ),
    code(
        "SW111",
        "equipment missing",
        "An exercise needs everything it occupies to be there.",
        "common practice, no source (T)",
    ),
    code(
        "SW112",
        "exclusion broken",
        "What the brief excludes is not asked of the client, whatever it would be good for.",
        "common practice, no source (T)",
    ),
    code(
        "SW113",
        "skill above the client's",
        "A lift that takes months of coaching is not for someone who has not had them; the coach may decide \
         otherwise.",
        "common practice, no source (T)",
    ),
    code(
        "SW114",
        "exercise twice in a session",
        "Setting up twice wastes time; the sets belong together.",
        "common practice, no source (T)",
    ),
    code(
        "SW115",
        "sets or exercises outside the rules",
        "One set is a crumb for a trained client, and many sets of one exercise are worth less and less.",
        "Pelland 2025, Sports Med (A) for diminishing returns; the limits are judgement",
    ),
    code(
        "SW116",
        "too many variants of a pattern",
        "A second variant of a pattern adds little that more sets of the first would not; a priority muscle may \
         have two.",
        "judgement",
    ),
    code(
        "SW120",
        "competing exercises alternate",
        "Alternation works because one muscle rests while another works. Two exercises for one muscle, two heavy \
         grips or two loaded spines take that rest away.",
        "Paz 2017, JSCR 31:2777 (A) for unrelated pairs; the thresholds are judgement",
    ),
    code(
        "SW121",
        "taxing lift shares a block",
        "After a lift that tires the whole body, a partner loses most of its reps. It stands alone, or beside \
         something light.",
        "common practice, no source (T)",
    ),
    code(
        "SW122",
        "same-muscle block out of place",
        "The second exercise is limited by the tired muscle from the first rep: a tool for advanced lifters and a \
         muscle that matters.",
        "common practice, no source (T)",
    ),
    code(
        "SW123",
        "wrong number of exercises in a block",
        "A straight block has one exercise, the other kinds have two.",
        "common practice, no source (T)",
    ),
    code(
        "SW124",
        "stations cannot be held together",
        "Two stations in demand, or two in different parts of the room, are taken by someone else between rounds. \
         In busy hours a block holds one place.",
        "common practice, no source (T)",
    ),
    code(
        "SW125",
        "alternating block against the brief",
        "Some clients, and some rooms, are better off with one exercise at a time.",
        "common practice, no source (T)",
    ),
    code(
        "SW130",
        "spine-heavy lifts pile up",
        "The lower back tires in all of them: not one after the other, and not too many in a session.",
        "common practice, no source (T); how many is judgement",
    ),
    code(
        "SW131",
        "spine-heavy sessions too close",
        "A loaded spine rests for a day between sessions, also from the end of the cycle to its beginning.",
        "common practice, no source (T); 40 h is judgement",
    ),
    code(
        "SW132",
        "budget of a session passed",
        "Cost to whole body, spine and grip adds up over the sets of a session, whichever exercise brings it.",
        "judgement",
    ),
    code(
        "SW133",
        "order spends what is needed later",
        "Large before small, multi-joint before single-joint, and no grip spent before the pulling that needs it. \
         Taxing lifts come while the client is fresh.",
        "Ratamess 2009, MSSE 41:687 (A); the grip is common practice, no source (T)",
    ),
    code(
        "SW134",
        "push and pull, or knee and hip, out of balance",
        "The lesser side gets its share over the cycle, unless it cannot be trained or the client came for the \
         other one.",
        "common practice, no source (T); the share is judgement",
    ),
    code(
        "SW135",
        "session off its focus",
        "A session has an identity: what the coach asked it to be for is what it is made of.",
        "judgement",
    ),
    code(
        "SW136",
        "sessions of very unlike sizes",
        "With equal minutes, a long and a short session mean that work could be spread better.",
        "judgement",
    ),
    code(
        "SW137",
        "session half empty",
        "The client has set the time aside; use it, or ask for less of it.",
        "judgement",
    ),
    code(
        "SW138",
        "session not whole-body",
        "With few sessions a week, a newer client gets most from pushing, pulling and using the legs in each.",
        "common practice, no source (T)",
    ),
    code(
        "SW140",
        "warm-up missing",
        "Before the first lift for a muscle the load rises in steps; light movement alone is not enough before \
         heavy sets.",
        "Ribeiro 2020, IJERPH 17:6882 (A); the steps are common practice, no source (T)",
    ),
    code(
        "SW141",
        "warm-up step too heavy or out of order",
        "A step near the work load is a work set that nobody counted, and a ramp only rises.",
        "common practice, no source (T)",
    ),
    code(
        "SW142",
        "load cannot be made",
        "A load that the bar, discs, dumbbells or stack cannot make is replaced on the floor by a guess.",
        "common practice, no source (T)",
    ),
    code(
        "SW143",
        "load above the client's strength",
        "The load is heavier than the client's 1RM allows for these reps with this reserve, by more than a tenth.",
        "the load-rep curve of `science`; people misjudge their reserve by about one rep (Halperin 2022, Sports \
         Med 52:377 (A)); the tenth is judgement",
    ),
    code(
        "SW150",
        "lock broken",
        "What the coach has fixed stands; everything else works round it.",
        "judgement",
    ),
    code(
        "SW160",
        "first weeks out of shape",
        "In the first weeks each session is the whole body, one set of each of six movements at most, two or three \
         times a week.",
        "common practice, no source (T)",
    ),
    code(
        "SW170",
        "see a clinician first",
        "A warning sign, or something these rules do not cover, is for a clinician before it is for a coach. Open \
         questions are asked before the first session.",
        "Riebe 2015, MSSE 47:2473; the table (B)",
    ),
    code(
        "SW180",
        "number that cannot be meant",
        "No sets, a range upside down or a rest of an hour is a slip of the pen.",
        "judgement",
    ),
    code("SW181", "unusual reps or reserve", "It can be meant, so it is only pointed out.", "judgement"),
];

#[cfg(test)]
mod tests {
    use super::CODES;

    #[test]
    fn codes_are_in_order_unique_and_explained() {
        assert!(CODES.windows(2).all(|w| w[0].code < w[1].code));
        for info in CODES {
            assert!(info.code.len() == 5 && info.code.starts_with("SW1"), "{}", info.code);
            assert!(
                info.why.len() > 30 && !info.source.is_empty() && !info.title.is_empty(),
                "{}",
                info.code
            );
        }
    }
}
