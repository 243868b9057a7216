//! The fields of a form: a label and where to type.

use maud::{Markup, html};

/// A line of text.
pub fn line(name: &str, label: &str, value: &str, required: bool) -> Markup {
    html! { label { span { (label) } input name=(name) value=(value) required[required] maxlength="200" autocomplete="off"; } }
}

/// A number with its unit.
pub fn number(name: &str, label: &str, value: &str, unit: &str) -> Markup {
    html! { label { span { (label) } span { input class="n" name=(name) value=(value) inputmode="decimal" size="6" autocomplete="off"; " " (unit) } } }
}

/// One of several words, as they are kept and as they are shown.
pub fn choice(name: &str, label: &str, value: &str, choices: &[(&str, &str)]) -> Markup {
    html! { label { span { (label) } select name=(name) {
        @for (word, shown) in choices { option value=(word) selected[value == *word] { (shown) } }
    } } }
}
