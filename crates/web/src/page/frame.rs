//! The frame of a page: head, ways, foot. What a page is framed for is handed in.

use crate::page::assets;
use maud::{DOCTYPE, Markup, html};
use setwright_coaching::people::accounts::AccountMark;
use setwright_model::MassUnit;

/// Where one can go from anywhere.
const WAYS: [(&str, &str); 6] = [
    ("/", "Roster"),
    ("/advice", "Advice"),
    ("/clients/new", "New client"),
    ("/audit", "Audit"),
    ("/exercises", "Exercises"),
    ("/help", "Help"),
];

/// Where a client can go; nobody signed in can go nowhere.
const OF_CLIENTS: [(&str, &str); 3] = [("/", "My session"), ("/exercises", "Exercises"), ("/help", "Help")];

/// Whose ways a page shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ways {
    /// Who coaches, or keeps the accounts.
    Coach,
    /// Who trains.
    Client,
    /// Nobody who is known.
    Nobody,
}

/// For whom a page is framed.
#[derive(Clone, Copy, Debug)]
pub struct PageFrame {
    ways: Ways,
    account: Option<AccountMark>,
    unit: MassUnit,
}

impl PageFrame {
    /// For who may go these ways, and signed in for it with this account or sits at the machine.
    pub const fn new(ways: Ways, account: Option<AccountMark>, unit: MassUnit) -> Self {
        Self { ways, account, unit }
    }

    /// For nobody who is known.
    pub const fn nobody(unit: MassUnit) -> Self {
        Self::new(Ways::Nobody, None, unit)
    }

    const fn ways(self) -> &'static [(&'static str, &'static str)] {
        match self.ways {
            Ways::Coach => &WAYS,
            Ways::Client => &OF_CLIENTS,
            Ways::Nobody => &[],
        }
    }

    /// "lb" when loads are shown in pounds; scripts read it too.
    fn in_pounds(self) -> Option<&'static str> {
        (self.unit == MassUnit::Lb).then_some(self.unit.symbol())
    }

    /// A page for the gym floor: nothing but its content.
    pub fn bare(self, title: &str, content: &Markup) -> Markup {
        html! {
            (DOCTYPE)
            html lang="en-GB" data-unit=[self.in_pounds()] data-account=[self.account] {
                (head(title, assets::path("floor.css"), assets::path("floor.js")))
                body class="floor" { (content) }
            }
        }
    }

    /// A page with this title; `here` is the way that it stands on.
    pub fn page(self, title: &str, here: Option<&str>, content: &Markup) -> Markup {
        html! {
            (DOCTYPE)
            html lang="en-GB" data-unit=[self.in_pounds()] data-account=[self.account] {
                (head(title, assets::path("page.css"), assets::path("page.js")))
                body {
                    a class="skip" href="#content" { "To the content" }
                    header {
                        nav aria-label="Pages" {
                            @for &(to, name) in self.ways() {
                                a href=(to) aria-current=[(here == Some(to)).then_some("page")] { (name) }
                            }
                            @if self.account.is_some() {
                                a href="/account" aria-current=[(here == Some("/account")).then_some("page")] { "Account" }
                                form method="post" action="/logout" class="out" { button class="quiet" { "Sign out" } }
                            }
                        }
                    }
                    main id="content" tabindex="-1" { (content) }
                    footer {
                        (switch(self.unit))
                        p { "Pain, or a sign from the questions before training, ends the session and asks for a clinician. \
                             Local codes and licensed practice come first." }
                    }
                }
            }
        }
    }
}

/// The button that changes over to the other unit.
fn switch(unit: MassUnit) -> Markup {
    let (to, words) = match unit {
        MassUnit::Kg => (MassUnit::Lb, "Show pounds"),
        MassUnit::Lb => (MassUnit::Kg, "Show kilograms"),
    };
    html! { form method="post" action="/unit" class="unit" { button name="unit" value=(to.symbol()) { (words) } } }
}

/// The head of a page: its title, its style and its script.
fn head(title: &str, css: &str, js: &str) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            meta name="color-scheme" content="light dark";
            title { (title) " · Setwright" }
            link rel="stylesheet" href=(css);
            link rel="icon" href="data:,";
            script type="module" src=(js) {}
        }
    }
}

/// A sentence that can be asked why: the mark opens the answer in place.
pub fn why(said: &str, sentence: &str) -> Markup {
    html! {
        details class="why" {
            summary { (said) " " sup aria-label="why" { "?" } }
            span class="because" { (sentence) }
        }
    }
}

/// A question that is answered by yes or no, or left open.
pub fn yes_no(text: &str, name: &str, said: Option<bool>) -> Markup {
    html! {
        div class="question" role="radiogroup" aria-label=(text) {
            p { (text) }
            @for (word, value) in [("yes", true), ("no", false)] {
                label { input type="radio" name=(name) value=(word) checked[said == Some(value)]; " " (word) }
            }
        }
    }
}

/// The answer of such a question as a form brings it.
pub fn said(word: &str) -> Option<bool> {
    match word {
        "yes" => Some(true),
        "no" => Some(false),
        _ => None,
    }
}
