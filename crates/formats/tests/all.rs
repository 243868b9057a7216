//! Readers over many inputs.

#[cfg(test)]
mod all {
    pub mod readers;
}
