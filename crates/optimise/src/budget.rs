//! How much work may be done.

/// Moves of a usual search.
pub const USUAL_MOVES: u64 = 6_300_000;

/// How much work may be done. Moves decide where a search stops, and as many again are made where much is left under the bound; `out_of_time` is only an outer limit, and an
/// answer that it cut short may differ from run to run.
#[derive(Clone, Copy)]
pub struct Budget<'a> {
    /// Moves of the search.
    pub moves: u64,
    /// Seed.
    pub seed: u64,
    /// Says when to stop, whatever is left.
    pub out_of_time: Option<&'a (dyn Fn() -> bool + Sync)>,
}

impl Budget<'_> {
    /// Whether time is up.
    pub fn is_over(&self) -> bool {
        self.out_of_time.is_some_and(|f| f())
    }
}
