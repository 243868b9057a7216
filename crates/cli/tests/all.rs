//! The program as a coach meets it: commands run as processes, readers fed with what should not be.

#[cfg(test)]
mod all {
    pub mod accounts;
    pub mod beside_programme;
    pub mod browser;
    pub mod commands;
    pub mod docs;
    pub mod ends;
    pub mod errors;
    pub mod forget;
    pub mod import;
    pub mod insight;
    pub mod kit;
    pub mod ledger;
    pub mod load;
    pub mod lost;
    pub mod network;
    pub mod no_room;
    #[path = "../../../web/tests/all/pages.rs"]
    pub mod pages;
    pub mod pain;
    pub mod paper;
    pub mod planned;
    pub mod published;
    pub mod roadmap;
    pub mod stepped;
}
