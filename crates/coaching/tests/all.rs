//! Use cases fed with what readers make of files that were damaged at random.

#[cfg(test)]
mod all {
    pub mod fuzz;
}
