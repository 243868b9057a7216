//! The rules, one file each: what a coach refuses, mends or notes, in the rule's own words. `docs/models.md` explains each
//! under the name of its file.

mod ability;
mod aims;
pub(crate) mod allowed;
mod balance;
mod blocks;
mod came_for;
mod carries;
mod conditions;
mod days;
mod familiar;
mod floor_pulls;
mod focus;
mod grip;
pub(crate) mod loads;
mod locks;
mod main_lifts;
mod movements;
mod numbers;
mod order;
mod plain_choice;
pub(crate) mod recovery;
mod rests;
mod safety;
mod same_muscle;
mod session_amount;
mod spared_shoulder;
mod spine;
mod sport_days;
mod stations;
mod taxing_pairs;
mod time;
mod told_lifts;
mod trunk_and_arms;
mod untold_lifts;
pub(crate) mod warm_up;
mod weekly_amount;
pub(crate) mod wishes;

use crate::scene::{Findings, Scene};

/// A rule looks at a scene and says what it finds.
type Rule = fn(&Scene<'_>, &mut Findings);

/// Every rule by the name of its file.
pub(crate) const RULES: &[(&str, Rule)] = &[
    ("safety", safety::check),
    ("numbers", numbers::check),
    ("days", days::check),
    ("sport_days", sport_days::check),
    ("time", time::check),
    ("recovery", recovery::check),
    ("wishes", wishes::check),
    ("came_for", came_for::check),
    ("aims", aims::check),
    ("allowed", allowed::check),
    ("ability", ability::check),
    ("conditions", conditions::check),
    ("plain_choice", plain_choice::check),
    ("told_lifts", told_lifts::check),
    ("untold_lifts", untold_lifts::check),
    ("main_lifts", main_lifts::check),
    ("session_amount", session_amount::check),
    ("weekly_amount", weekly_amount::check),
    ("movements", movements::check),
    ("floor_pulls", floor_pulls::check),
    ("familiar", familiar::check),
    ("trunk_and_arms", trunk_and_arms::check),
    ("carries", carries::check),
    ("blocks", blocks::check),
    ("taxing_pairs", taxing_pairs::check),
    ("same_muscle", same_muscle::check),
    ("stations", stations::check),
    ("rests", rests::check),
    ("spine", spine::check),
    ("grip", grip::check),
    ("order", order::check),
    ("balance", balance::check),
    ("spared_shoulder", spared_shoulder::check),
    ("focus", focus::check),
    ("warm_up", warm_up::check),
    ("loads", loads::check),
    ("locks", locks::check),
];

#[cfg(test)]
mod tests {
    use super::RULES;
    use std::collections::BTreeSet;
    use std::fs;

    const ROOT: &str = env!("CARGO_MANIFEST_DIR");

    #[test]
    fn every_file_is_a_rule_and_every_rule_is_explained() {
        let files: BTreeSet<String> = fs::read_dir(format!("{ROOT}/src/rules"))
            .unwrap()
            .map(|f| f.unwrap().path().file_stem().unwrap().to_string_lossy().into_owned())
            .filter(|name| name != "mod")
            .collect();
        let rules: BTreeSet<String> = RULES.iter().map(|(name, _)| (*name).to_owned()).collect();
        assert_eq!(files, rules, "a file without a rule, or a rule without a file");
        assert_eq!(rules.len(), RULES.len(), "a rule stands twice");
        let models = fs::read_to_string(format!("{ROOT}/../../docs/models.md")).unwrap();
        for name in rules {
            assert!(models.contains(&format!("\n### `{name}`\n")), "docs/models.md does not explain {name}");
        }
    }
}
