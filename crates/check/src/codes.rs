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
        "SW108",
        "more in a session than its minutes hold",
        "A session that holds more sets or exercises than a coach writes for the minutes is not done as written. \
         It is mended, never refused: another coach may have a reason.",
        "Schoenfeld 2019, MSSE 51:94 (A, B): 35 sets with short rests in 70 minutes; the rest is common practice, no source (T)",
    ),
    code(
        "SW109",
        "more weekly sets than a coach gives",
        "Gains grow with sets, less and less, while the time to recover grows too. Beyond these sets a coach asks \
         what they are for.",
        "Baz-Valle 2022, J Hum Kinet 81:199 (M); Pelland 2025, Sports Med (A); the ceilings are judgement",
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
        "One set is a crumb for a trained client, and many sets of one exercise are worth less and less. Amounts are \
         mended, never refused.",
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
        "SW117",
        "unusual choice without a reason",
        "What has to be explained to the client needs an explanation: a told lift, a priority, a lock, or nothing \
         plainer at hand. A programme made mostly of such choices is refused.",
        "common practice, no source (T)",
    ),
    code(
        "SW118",
        "amounts far beyond what a coach gives",
        "A third more than the session holds, or two fifths more than a muscle is given a week, is another \
         programme. It is not refused, and it is not signed.",
        "judgement",
    ),
    code(
        "SW119",
        "trunk or arm work beyond its limits",
        "Ten sets a week train a trunk, a third of the sets is enough for arms, and a trunk that is tired between \
         heavy sets does not hold the spine.",
        "common practice, no source (T)",
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
        "SW126",
        "told lift short, late or without room",
        "What the client does already is the measure of progress. It has sets enough, and comes before what is new for its \
         muscle.",
        "common practice, no source (T)",
    ),
    code(
        "SW127",
        "main lift not where strength needs it",
        "Strength is gained in the lifts that are trained heavy, fresh and rested: the main lifts open the \
         session, straight, with three minutes, for few reps, evenly, and not the same on every day.",
        "Ratamess 2009, MSSE 41:687 (A): order, rest and load; the rest is common practice, no source (T)",
    ),
    code(
        "SW128",
        "movement missing",
        "Bending the knees and the hips, pressing and pulling are what a programme is made of; with time enough \
         it rows and pulls from above and holds the trunk, and legs, presses and pulls are there whenever the whole body is.",
        "common practice, no source (T); WHO 2020 (M): all major groups twice a week",
    ),
    code(
        "SW129",
        "too many pulls from the floor",
        "The deadlift and its family tire back and grip for days. They are rationed together: twice a week for \
         strength, once otherwise and from 65 on.",
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
         other one. Raises and what moves the elbow alone are on neither side.",
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
        "SW139",
        "whole-body sessions closer than they need be",
        "The same muscles are trained in each of them, so the days between are the rest.",
        "common practice, no source (T); McLester 2003, JSCR 17:259 (A): lower at 24 h, back at 48 h",
    ),
    code(
        "SW140",
        "warm-up missing",
        "Before the first lift for a muscle the load rises in steps; light movement alone is not enough before \
         heavy sets. A sheet that is silent about warm-ups leaves them to the client, which is noted.",
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
        "SW144",
        "load that nothing supports",
        "A load for a lift that was never told is a guess. Where fewer than one client in ten with these lifts \
         could do it, it is refused.",
        "the spreads of `science::capability`; one in ten is judgement",
    ),
    code(
        "SW145",
        "carry out of place",
        "Carries spend grip and breath: at the end, few of them, and never before the pulls that need the grip.",
        "common practice, no source (T)",
    ),
    code(
        "SW146",
        "spared shoulder loaded too much",
        "A shoulder that is spared is pulled at least as much as it is pressed, its back is trained, no session \
         opens with a press, raises stop well short of failure, and no straight bar lies behind the neck.",
        "common practice after operations, no source (T)",
    ),
    code(
        "SW147",
        "more warm-up than the work needs",
        "Many warm-up reps spoil few heavy ones, and a light weight needs no steps.",
        "common practice, no source (T)",
    ),
    code(
        "SW148",
        "untold lift near its limit",
        "A compound that the client has not told of starts with five reps or more and two in reserve: a load for sets \
         near the limit, or for triples, is a guess with nothing under it.",
        "common practice, no source (T)",
    ),
    code(
        "SW149",
        "rest does not fit the effort",
        "A compound near its limit rests two minutes alone and a minute and a half after a round; minutes are found in \
         fewer exercises. Sets far from the limit need no five minutes, and one joint or a light bell no three.",
        "Ratamess 2009, MSSE 41:687 (A): two to three minutes; the round is common practice, no source (T)",
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
        "SW161",
        "too many different exercises",
        "A newer client learns by meeting the same movements again, and nobody can follow the load of thirty \
         exercises.",
        "common practice, no source (T)",
    ),
    code(
        "SW162",
        "one exercise in every session",
        "Where the sessions are many, a movement that nobody asked for and that fills every day is a sign that nobody \
         looked at the client; newer clients learn by just that.",
        "common practice, no source (T)",
    ),
    code(
        "SW163",
        "what the client came for comes short",
        "A muscle of high or top priority is seen in the sheet: three direct sets in a cycle, in two visits where there are \
         two, and no fewer than the client does now.",
        "common practice, no source (T); the sets are judgement",
    ),
    code(
        "SW164",
        "what the client wants to be able to do is not trained",
        "Stairs, rising, standing steadily, carrying, pull-ups, press-ups and jumps get better when they, or steps towards \
         them, are trained: in two visits a week, where the client can do something of the kind. Pull-ups are wanted too by who \
         counted some and came for the back.",
        "Ratamess 2009, MSSE 41:687 (A) for training what is to grow; the visits are common practice, no source (T)",
    ),
    code(
        "SW165",
        "told lift missing",
        "What the client does already is the measure of progress and the reason to trust the rest. It stays, unless \
         something forbids it or nothing is left for it: without it nobody signs.",
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
        "SW171",
        "out of reach for this client",
        "An exercise of which eight clients in ten like this one cannot do the fewest reps is a failure that was \
         written down. The estimate comes from told lifts, tests and published norms.",
        "the norms of `science::capability` and their sources; eight in ten is judgement",
    ),
    code(
        "SW172",
        "against a condition, age or pain",
        "What a condition, pain, age or a return leaves out is not asked of the client, and sets are no harder \
         than it allows. The clinician's word comes before these rules.",
        "the table of `science::conditions` and its sources",
    ),
    code(
        "SW173",
        "far too light for this client",
        "Sets that end far from failure train little; where something heavier can be done, it is.",
        "the norms of `science::capability`; Refalo 2022, Sports Med 53:649 (A) for closeness to failure; the reps are judgement",
    ),
    code(
        "SW174",
        "fails under the client",
        "Dips, legs raised from a hang or from arm supports, press-ups with the head low, a bar pressed overhead and jumps \
         cannot be put down when they are too much. They are for those who told of them, or have the years for them.",
        "common practice, no source (T)",
    ),
    code(
        "SW175",
        "hard for legs that the sport needs",
        "On a hard day of the sport and the day before, legs get half of their sets, nothing near their limit and nothing new \
         that tires the whole body; sessions, pulls from the floor and heavy squats keep off such days where others are free.",
        "common practice, no source (T)",
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
