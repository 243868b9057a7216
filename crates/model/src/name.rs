//! What may stand in a name and in other words, and when two names are the same. It looks nobody up.

/// What cannot be seen in a name, or turns the direction of what follows: a name that holds one passes for another.
pub fn is_unprintable(c: char) -> bool {
    c.is_control()
        || turns(c)
        || matches!(
            c,
            '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}' | '\u{2029}' | '\u{2060}'..='\u{2065}'
                | '\u{206a}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}'
        )
}

/// What overrides or embeds a direction of writing, so that words read otherwise than they are (Unicode UAX 9, section 2).
pub const fn turns(c: char) -> bool {
    matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// A name as it is compared: in small letters, with one blank for many, without what cannot be seen.
pub fn folded(name: &str) -> String {
    let seen: String = name.chars().filter(|c| c.is_whitespace() || !is_unprintable(*c)).collect();
    let words: Vec<String> = seen.split_whitespace().map(str::to_lowercase).collect();
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_that_look_alike_are_the_same() {
        for other in ["mara lind", " MARA\u{a0}\tLind ", "Ma\u{200b}ra Lind", "Mara \u{202e}Lind"] {
            assert_eq!(folded(other), folded("Mara Lind"), "{other:?}");
        }
        assert_ne!(folded("Mara Lind"), folded("Maralind"));
    }

    #[test]
    fn letters_of_any_script_can_be_printed() {
        assert!("José Núñez 李 שלום محمد Ö'Hara-Łuk".chars().all(|c| !is_unprintable(c)));
    }
}
