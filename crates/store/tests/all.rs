//! What a place that keeps a ledger must do, one story for each behaviour, told through the interface alone; and what
//! belongs to the file of SQLite: upgrades, backups, damage.

#[cfg(test)]
mod all {
    pub mod accounts;
    pub mod accounts_kept;
    pub mod ends;
    pub mod files;
    pub mod forgotten;
    pub mod kit;
    pub mod speed;
    pub mod stories;
}
