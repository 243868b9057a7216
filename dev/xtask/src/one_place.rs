//! What the architecture page says of a library, "it would be replaced in this file", holds as long as no other file names it.

use crate::Breach;
use crate::source::{Source, has_word, is_test_file};
use crate::tree::{Tree, has_extension};

/// Libraries with all files of the product that name them.
const PLACES: &[(&str, &[&str])] = &[
    ("argon2", &["crates/coaching/src/people/secrets.rs"]),
    ("futures_util", &["crates/web/src/programme/making.rs"]),
    ("aes_gcm_siv", &["crates/store/src/cipher.rs"]),
    ("getrandom", &["crates/cli/src/machine.rs", "crates/store/src/cipher.rs"]),
    ("hmac", &["crates/store/src/digest.rs"]),
    ("indicatif", &["crates/cli/src/progress.rs"]),
    ("jiff", &["crates/cli/src/clock.rs", "crates/present/src/zone.rs"]),
    ("krilla", &["crates/paper/src/pdf/face.rs", "crates/paper/src/pdf/writer.rs"]),
    ("qrcodegen", &["crates/paper/src/qr.rs"]),
    ("rand_xoshiro", &["crates/chance/src/lib.rs"]),
    ("rayon", &["crates/optimise/src/cores.rs"]),
    ("roxmltree", &["crates/paper/src/pdf/drawing.rs"]),
    ("sha2", &["crates/store/src/digest.rs"]),
    ("strsim", &["crates/formats/src/near.rs", "crates/gym/src/names.rs"]),
    ("terminal_size", &["crates/cli/src/lib.rs"]),
    ("tokio_rustls", &["crates/web/src/http/tls.rs"]),
    ("totp_rs", &["crates/coaching/src/people/second.rs"]),
    ("tower_http", &["crates/web/src/lib.rs"]),
    ("tracing_subscriber", &["crates/web/src/http/log.rs"]),
    ("ttf_parser", &["crates/paper/src/pdf/face.rs"]),
];

/// Lines that name a library where it does not belong, and places that do not name it any more.
pub fn check(tree: &Tree) -> Vec<Breach> {
    PLACES.iter().flat_map(|(library, places)| check_one(tree, library, places)).collect()
}

fn check_one(tree: &Tree, library: &str, places: &[&str]) -> Vec<Breach> {
    let sources = tree.files().filter(|(path, _)| {
        path.starts_with("crates/") && path.contains("/src/") && has_extension(path, "rs")
    });
    let mut left: Vec<&str> = places.to_vec();
    let mut breaches = Vec::new();
    for (path, text) in sources.filter(|(path, _)| !is_test_file(tree, path)) {
        let source = Source::of(text);
        let Some((line, _)) = source.numbered().find(|(_, line)| has_word(line, library)) else { continue };
        match left.iter().position(|place| *place == path) {
            Some(at) => drop(left.swap_remove(at)),
            None => breaches.push(Breach::at(
                path,
                line,
                format!("uses {library}, which {} keeps", places.join(" and ")),
            )),
        }
    }
    let unused = left
        .into_iter()
        .map(|place| Breach::of(place, format!("does not use {library} any more: see {}", file!())));
    breaches.extend(unused);
    breaches
}

#[cfg(test)]
mod tests {
    use super::*;

    fn breaches(files: &[(&str, &str)]) -> Vec<String> {
        check_one(&Tree::of(files), "rayon", &["crates/a/src/cores.rs"])
            .iter()
            .map(ToString::to_string)
            .collect()
    }

    #[test]
    fn a_library_is_named_in_its_place_alone() {
        let there = ("crates/a/src/cores.rs", "use rayon::prelude::*;\n");
        let elsewhere = [
            there,
            ("crates/a/src/b.rs", "// rayon would do\nconst N: &str = \"rayon\";\n"),
            ("crates/a/tests/all.rs", "use rayon::prelude::*;\n"),
        ];
        assert_eq!(breaches(&elsewhere), [""; 0]);
        let both = [there, ("crates/a/src/b.rs", "\nfn f() { rayon::join(g, h) }\n")];
        assert_eq!(breaches(&both), ["crates/a/src/b.rs:2: uses rayon, which crates/a/src/cores.rs keeps"]);
        assert_eq!(breaches(&[]).len(), 1);
    }
}
