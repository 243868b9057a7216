//! Rules of pairing that prices can carry: lifts that stand in pairs are never more than those that can stand beside
//! them, with the same sets and rest.
//!
//! A rule is added where the average of the selections breaks it. Every plan keeps every one of them, so they only
//! make the bound lower, never too low.

use crate::layout::{Layout, may_stand_beside};
use crate::session_shape::LiftOffer;
use setwright_formulate::problem::{ALTERNATING, MODES, Problem, SAME_FIRST, SAME_SECOND};
use std::collections::{BTreeMap, BTreeSet};

/// By how much the average must break a rule before it is added.
const BROKEN: f64 = 0.02;
/// Less than this is nothing.
const TINY: f64 = 1e-9;

/// Counted with their signs, the offers taken in a session never come to more than `most`.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// Which session.
    pub session: usize,
    /// Offers with their signs, in order.
    pub terms: Vec<(u32, f64)>,
    /// What they come to at most.
    pub most: f64,
}

impl Cut {
    /// What taken offers come to.
    pub fn sum(&self, taken: &[u32]) -> f64 {
        let sign = |offer: &u32| {
            self.terms.binary_search_by_key(offer, |(o, _)| *o).map_or(0.0, |place| self.terms[place].1)
        };
        taken.iter().map(sign).sum()
    }
}

/// Offers of one kind of pair: each has to stand beside another of them.
#[derive(Clone, Debug)]
struct Class {
    /// In order.
    offers: Vec<u32>,
    /// By place in `offers`: places of those that may stand beside it.
    beside: Vec<Vec<usize>>,
}

/// Who may stand beside whom in a session.
#[derive(Clone, Debug)]
pub struct Pairing {
    session: usize,
    classes: Vec<Class>,
}

impl Pairing {
    /// The pairs of a session.
    pub fn new(problem: &Problem, layout: &Layout) -> Self {
        let mut by_kind: BTreeMap<(u8, u8), Vec<u32>> = BTreeMap::new();
        for (index, offer) in layout.shape.offers.iter().enumerate().filter(|(_, o)| o.paired) {
            // Both parts of a same-muscle block belong together.
            let second = MODES[offer.mode as usize].second;
            let kind = if second { offer.mode - SAME_SECOND } else { offer.mode };
            by_kind.entry((kind, offer.sets)).or_default().push(index as u32);
        }
        let offer = |index: u32| &layout.shape.offers[index as usize];
        let of = |offers: Vec<u32>| {
            let beside = |one: &u32| {
                let pairs = offers.iter().map(|other| are_pair(problem, offer(*one), offer(*other)));
                pairs.enumerate().filter_map(|(place, fits)| fits.then_some(place)).collect()
            };
            Class { beside: offers.iter().map(beside).collect(), offers }
        };
        Self { session: layout.session, classes: by_kind.into_values().map(of).collect() }
    }

    /// The rules that an average selection breaks: `often` says how often each offer is taken.
    pub fn broken(&self, often: &[f64]) -> Vec<Cut> {
        self.classes.iter().flat_map(|class| class.broken(self.session, often)).collect()
    }
}

fn are_pair(problem: &Problem, one: &LiftOffer, other: &LiftOffer) -> bool {
    let fits = if ALTERNATING.contains(&one.mode) {
        other.mode == one.mode
    } else if SAME_FIRST.contains(&one.mode) {
        other.mode == one.mode + SAME_SECOND
    } else {
        other.mode + SAME_SECOND == one.mode
    };
    fits && may_stand_beside(problem, (usize::from(one.lift), one.mode), usize::from(other.lift), one.sets)
}

impl Class {
    fn broken(&self, session: usize, often: &[f64]) -> Vec<Cut> {
        let often: Vec<f64> = self.offers.iter().map(|o| often[*o as usize]).collect();
        let mut sets: BTreeSet<Vec<usize>> = BTreeSet::new();
        for (place, _) in often.iter().enumerate().filter(|(_, often)| **often > BROKEN) {
            sets.insert(self.with_hangers_on(&[place]));
        }
        if !sets.is_empty() {
            sets.insert(self.with_hangers_on(&self.unmatched(&often)));
        }
        sets.retain(|set| self.excess(set, &often) > BROKEN);
        sets.into_iter().map(|set| self.cut(session, &set)).collect()
    }

    fn neighbours(&self, set: &[usize]) -> Vec<bool> {
        let mut out = vec![false; self.offers.len()];
        set.iter().flat_map(|p| &self.beside[*p]).for_each(|p| out[*p] = true);
        out
    }

    /// The set with all others that can stand beside nothing else than its members can.
    fn with_hangers_on(&self, set: &[usize]) -> Vec<usize> {
        let near = self.neighbours(set);
        let within = |p: &usize| set.contains(p) || self.beside[*p].iter().all(|b| near[*b]);
        if set.is_empty() { Vec::new() } else { (0..self.offers.len()).filter(within).collect() }
    }

    fn excess(&self, set: &[usize], often: &[f64]) -> f64 {
        let near = self.neighbours(set);
        let beside: f64 = often.iter().zip(near).filter(|(_, near)| *near).map(|(often, _)| often).sum();
        set.iter().map(|p| often[*p]).sum::<f64>() - beside
    }

    fn cut(&self, session: usize, set: &[usize]) -> Cut {
        let near = self.neighbours(set).into_iter();
        let mut signs: Vec<f64> = near.map(|near| if near { -1.0 } else { 0.0 }).collect();
        for place in set {
            signs[*place] += 1.0;
        }
        let terms = self.offers.iter().copied().zip(signs).filter(|(_, sign)| *sign != 0.0).collect();
        Cut { session, terms, most: 0.0 }
    }

    /// Offers that cannot all be matched with those beside them: the near side of a smallest cut between each offer
    /// and a copy of it.
    fn unmatched(&self, often: &[f64]) -> Vec<usize> {
        let n = often.len();
        let mut flow = Flow { left: often.to_vec(), right: often.to_vec(), across: vec![0.0; n * n] };
        loop {
            let mut search = Search { to_right: vec![None; n], to_left: vec![None; n], queue: Vec::new() };
            match search.path(self, &flow) {
                Some(end) => flow.augment(&search, end),
                None => return search.queue,
            }
        }
    }
}

/// What of each offer is matched with what.
struct Flow {
    left: Vec<f64>,
    right: Vec<f64>,
    /// By offer and its copy.
    across: Vec<f64>,
}

/// Breadth-first from what is not matched: forwards along pairs, back along what is matched.
struct Search {
    /// By copy: from which offer it was reached.
    to_right: Vec<Option<usize>>,
    /// By offer: from which copy.
    to_left: Vec<Option<usize>>,
    queue: Vec<usize>,
}

impl Search {
    fn path(&mut self, class: &Class, flow: &Flow) -> Option<usize> {
        let n = flow.left.len();
        self.queue = (0..n).filter(|p| flow.left[*p] > TINY).collect();
        let mut seen: Vec<bool> = flow.left.iter().map(|l| *l > TINY).collect();
        let mut at = 0;
        while let Some(&one) = self.queue.get(at) {
            at += 1;
            for &other in &class.beside[one] {
                if self.to_right[other].is_some() {
                    continue;
                }
                self.to_right[other] = Some(one);
                if flow.right[other] > TINY {
                    return Some(other);
                }
                for back in (0..n).filter(|b| flow.across[b * n + other] > TINY) {
                    if !std::mem::replace(&mut seen[back], true) {
                        self.to_left[back] = Some(other);
                        self.queue.push(back);
                    }
                }
            }
        }
        None
    }
}

impl Flow {
    fn augment(&mut self, search: &Search, end: usize) {
        let n = self.left.len();
        let mut path = Vec::new();
        let (mut other, mut most) = (end, self.right[end]);
        let start = loop {
            let Some(one) = search.to_right[other] else { return };
            path.push((one, other, 1.0));
            let Some(back) = search.to_left[one] else { break one };
            path.push((one, back, -1.0));
            most = most.min(self.across[one * n + back]);
            other = back;
        };
        let part = most.min(self.left[start]);
        self.left[start] -= part;
        self.right[end] -= part;
        for (one, other, sign) in path {
            self.across[one * n + other] += sign * part;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two leaves that can stand beside the centre only, and a pair of its own.
    fn star() -> Class {
        Class {
            offers: vec![10, 11, 12, 13, 14],
            beside: vec![vec![1, 2], vec![0], vec![0], vec![4], vec![3]],
        }
    }

    fn broken(often: [f64; 5]) -> Vec<Cut> {
        let mut all = vec![0.0; 15];
        all[10..].copy_from_slice(&often);
        star().broken(3, &all)
    }

    #[test]
    fn more_leaves_than_centres_are_cut() {
        let cuts = broken([1.0, 0.8, 0.8, 0.0, 0.0]);
        let cut = Cut { session: 3, terms: vec![(10, -1.0), (11, 1.0), (12, 1.0)], most: 0.0 };
        assert_eq!(cuts, std::slice::from_ref(&cut));
        let sums = [vec![10, 11], vec![11, 12], vec![10, 11, 12]].map(|taken| cut.sum(&taken) as i32);
        assert_eq!(sums, [0, 2, 1]);
    }

    #[test]
    fn what_can_be_matched_is_not_cut() {
        assert_eq!(broken([1.0, 0.5, 0.5, 0.7, 0.7]), []);
        assert_eq!(broken([0.0; 5]), []);
    }

    #[test]
    fn a_lift_without_its_partner_is_cut() {
        let cut = Cut { session: 3, terms: vec![(13, 1.0), (14, -1.0)], most: 0.0 };
        assert_eq!(broken([0.6, 0.6, 0.0, 1.0, 0.4]), [cut]);
    }
}
