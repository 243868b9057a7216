//! The pages, asked without a browser and without a network: what they show, take and refuse, and from whom.

#[cfg(test)]
mod all {
    pub mod account;
    pub mod api;
    pub mod arrivals;
    pub mod forget;
    pub mod gate;
    pub mod hard;
    pub mod heard;
    pub mod longer;
    pub mod pages;
    pub mod pain;
    pub mod published;
    pub mod roster;
    pub mod sign_in;
    pub mod web;
    pub mod written;
}
