//! Texts as sentences begin and end.

/// The same with its first letter large.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The same as a sentence: its first letter large, a full stop at its end.
pub fn sentence(text: &str) -> String {
    format!("{}.", capital(text.trim_end_matches('.')))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_begins_large_and_ends_once() {
        assert_eq!([capital("über"), capital("")], ["Über", ""]);
        assert_eq!([sentence("it is so"), sentence("it is so.")], ["It is so.", "It is so."]);
    }
}
