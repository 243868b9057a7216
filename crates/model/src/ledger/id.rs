//! Identifiers that a device makes by itself: 128 bits, written as a UUID. Time and chance are handed in.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;

/// A text that is not an identifier.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BadId;

impl fmt::Display for BadId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an identifier is a UUID of version 7 or 8, such as 019ac3f2-7d10-7a2b-8c3d-0123456789ab")
    }
}

impl std::error::Error for BadId {}

/// The kind of UUID whose first 48 bits are milliseconds (RFC 9562, section 5.7).
const TIMED: u8 = 7;
/// The kind whose bits are the maker's own (RFC 9562, section 5.8); here the start of a digest.
const DERIVED: u8 = 8;
/// Largest time that 48 bits hold, in milliseconds.
const MS_MAX: u64 = (1 << 48) - 1;

const fn stamped(mut bytes: [u8; 16], version: u8) -> [u8; 16] {
    bytes[6] = (bytes[6] & 0x0f) | (version << 4);
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    bytes
}

macro_rules! identifier {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name([u8; 16]);

        impl $name {
            /// An identifier made at this time (milliseconds since 1970, UTC) with these bits of chance. A maker
            /// that counts up in the first twelve bits gets identifiers in the order of making.
            pub fn timed(unix_ms: u64, chance: [u8; 10]) -> Self {
                let mut bytes = [0; 16];
                bytes[..6].copy_from_slice(&unix_ms.min(MS_MAX).to_be_bytes()[2..]);
                bytes[6..].copy_from_slice(&chance);
                Self(stamped(bytes, TIMED))
            }

            /// An identifier that follows from what it stands for: the same digest, the same identifier.
            pub const fn derived(digest: [u8; 16]) -> Self {
                Self(stamped(digest, DERIVED))
            }

            /// The identifier of these sixteen bytes.
            pub const fn from_bytes(bytes: [u8; 16]) -> Result<Self, BadId> {
                let version = bytes[6] >> 4;
                let rfc = bytes[8] >> 6 == 0b10;
                if rfc && (version == TIMED || version == DERIVED) { Ok(Self(bytes)) } else { Err(BadId) }
            }

            /// The sixteen bytes.
            pub const fn bytes(self) -> [u8; 16] {
                self.0
            }

            /// When it was made, in milliseconds since 1970 (UTC), if it tells.
            pub fn made_ms(self) -> Option<u64> {
                let mut wide = [0; 8];
                wide[2..].copy_from_slice(&self.0[..6]);
                (self.0[6] >> 4 == TIMED).then(|| u64::from_be_bytes(wide))
            }

            /// The last eight digits, enough to tell things apart on a screen.
            pub fn short(self) -> String {
                self.0[12..].iter().map(|b| format!("{b:02x}")).collect()
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                for (i, byte) in self.0.iter().enumerate() {
                    if matches!(i, 4 | 6 | 8 | 10) {
                        f.write_str("-")?;
                    }
                    write!(f, "{byte:02x}")?;
                }
                Ok(())
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                fmt::Display::fmt(self, f)
            }
        }

        impl FromStr for $name {
            type Err = BadId;
            fn from_str(text: &str) -> Result<Self, BadId> {
                Self::from_bytes(parse(text).ok_or(BadId)?)
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                to.collect_str(self)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                let text = Cow::<'de, str>::deserialize(from)?;
                text.parse().map_err(D::Error::custom)
            }
        }

        impl JsonSchema for $name {
            fn schema_name() -> Cow<'static, str> {
                stringify!($name).into()
            }
            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({ "type": "string", "format": "uuid" })
            }
        }
    };
}

identifier!(
    /// Which event.
    EventId
);
identifier!(
    /// Which client. It is made once, when the client is added, and never changes with the name.
    ClientId
);
identifier!(
    /// Which person wrote something. A ledger makes it of their name under its own key, so that it tells nothing to who tries names, and
    /// another ledger has another one.
    PersonId
);

/// Sixteen bytes from 32 digits with hyphens after the 8th, 12th, 16th and 20th.
fn parse(text: &str) -> Option<[u8; 16]> {
    let text = text.as_bytes();
    if text.len() != 36 {
        return None;
    }
    let mut digits = [0; 32];
    let mut filled = 0;
    for (i, &c) in text.iter().enumerate() {
        if matches!(i, 8 | 13 | 18 | 23) {
            if c != b'-' {
                return None;
            }
            continue;
        }
        *digits.get_mut(filled)? = char::from(c).to_digit(16)? as u8;
        filled += 1;
    }
    let mut bytes = [0; 16];
    for (byte, pair) in bytes.iter_mut().zip(digits.chunks_exact(2)) {
        *byte = (pair[0] << 4) | pair[1];
    }
    Some(bytes)
}
