//! The offers of a session and the order they are gone through, laid out once so that only profits change.
//!
//! Nothing here knows what an offer is worth.

use std::ops::Range;

/// A way to do a lift in a session.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LiftOffer {
    /// Which lift.
    pub lift: u16,
    /// Mode.
    pub mode: u8,
    /// Sets.
    pub sets: u8,
    /// Time steps when the family is warm.
    pub time: u16,
    /// Steps it takes of what the session is measured in.
    pub step: u16,
    /// Further steps when it opens its family.
    pub lead: u16,
    /// Whether it is ramped, so that those after it find the family warm.
    pub opens: bool,
    /// Whether it stands in a pair.
    pub paired: bool,
    /// Whether it loads the spine heavily.
    pub heavy: bool,
}

impl LiftOffer {
    /// Offers of a class differ only in steps and profit.
    pub fn class(&self) -> (bool, bool, u16, bool) {
        (self.paired, self.opens, self.lead, self.heavy)
    }
}

/// Which offers a way through a session may take.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AllowedOffers {
    /// Spine-heavy ones.
    pub heavy: bool,
    /// Ramped ones.
    pub ramped: bool,
}

impl AllowedOffers {
    /// Whether an offer is among them.
    pub fn allows(self, offer: &LiftOffer) -> bool {
        (self.heavy || !offer.heavy) && (self.ramped || !offer.opens)
    }
}

/// Groups of one pattern and how many of them may be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Run {
    /// The groups.
    pub groups: Range<usize>,
    /// Most groups used.
    pub most: usize,
}

/// Offers of which at most one is taken.
pub type OfferGroup = Vec<LiftOffer>;
/// Groups of one pattern, and how many of them may be used.
pub type GroupRun = (Vec<OfferGroup>, usize);

/// A session's offers in the order they are gone through: first what needs neither ramp nor spine, so that it is
/// shared by all ways through.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Shape {
    /// All offers, by group, then by class, then by steps.
    pub offers: Vec<LiftOffer>,
    /// Offers of each group, of which at most one is taken.
    pub groups: Vec<Range<usize>>,
    /// Runs without ramped or spine-heavy lifts.
    pub plain: Vec<Vec<Run>>,
    /// Runs with ramped lifts, by family, of families without spine-heavy lifts.
    pub families: Vec<Vec<Run>>,
    /// Runs with spine-heavy lifts and without ramped ones.
    pub heavy: Vec<Vec<Run>>,
    /// Runs with ramped lifts, by family, of families with spine-heavy lifts.
    pub heavy_families: Vec<Vec<Run>>,
}

impl Shape {
    /// Lays out runs, given by family and within a family in the order in which its lifts are done.
    pub fn new(families: Vec<Vec<GroupRun>>) -> Self {
        let mut shape = Self::default();
        for family in families {
            let any = |run: &GroupRun, f: fn(&LiftOffer) -> bool| run.0.iter().flatten().any(f);
            let (ramped, cold): (Vec<GroupRun>, Vec<GroupRun>) =
                family.into_iter().partition(|run| any(run, |o| o.opens));
            let (heavy, plain): (Vec<GroupRun>, Vec<GroupRun>) =
                cold.into_iter().partition(|run| any(run, |o| o.heavy));
            let in_heavy_family = ramped.iter().any(|run| any(run, |o| o.heavy));
            let plain = shape.runs(plain);
            shape.plain.push(plain);
            let heavy = shape.runs(heavy);
            shape.heavy.push(heavy);
            let ramped = shape.runs(ramped);
            if in_heavy_family { &mut shape.heavy_families } else { &mut shape.families }.push(ramped);
        }
        for list in [&mut shape.plain, &mut shape.heavy, &mut shape.families, &mut shape.heavy_families] {
            list.retain(|runs| !runs.is_empty());
        }
        shape
    }

    fn runs(&mut self, runs: Vec<GroupRun>) -> Vec<Run> {
        runs.into_iter()
            .map(|(groups, most)| {
                let first = self.groups.len();
                for mut offers in groups {
                    offers.sort_by_key(|o| (o.class(), o.step, o.lift, o.mode, o.sets));
                    let start = self.offers.len();
                    self.offers.extend(offers);
                    self.groups.push(start..self.offers.len());
                }
                Run { groups: first..self.groups.len(), most }
            })
            .collect()
    }
}
