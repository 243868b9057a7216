//! How an event and what stands are sealed, and how the chain goes on over what is sealed: over the cipher text, so that it holds whether or
//! not anybody can still read it.
//!
//! A row has a leaf, the checksum of what it says as it is kept; a link of the chain of its client, which no other client's rows are in; and
//! a link of the ledger's own chain over those, which says in what order all arrived and where the log ends. When a client is forgotten,
//! leaves and links stay, and the chains hold over them.

use super::keys::Keys;
use super::{Fail, Inner};
use crate::cipher::{KEY_VERSION, SealingKey};
use crate::digest::{Digest, sha256};
use crate::state::StateKind;
use crate::store::Seq;
use setwright_model::ledger::{ClientId, Event, EventId};

/// Where the chain of a client has come to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct ClientHead {
    /// How many events there are.
    pub(super) nth: Seq,
    /// The link of the last one.
    pub(super) own: Digest,
}

impl ClientHead {
    /// Before anything.
    pub(super) const NONE: Self = Self { nth: 0, own: Digest::NONE };

    /// After one more event.
    pub(super) fn after(self, leaf: Digest) -> Self {
        let nth = self.nth + 1;
        Self { nth, own: sha256(&[&self.own.0, &nth.to_be_bytes(), &leaf.0]) }
    }
}

/// The link of the ledger's chain after `before`, for a row with this link of its client's.
pub(super) fn chained(before: Digest, own: Digest) -> Digest {
    sha256(&[&before.0, &own.0])
}

/// The checksum of a row as it is kept.
pub(super) fn leaf(client: &[u8], event: &[u8], kind: &str, sealed: &[u8]) -> Digest {
    let length = |bytes: &[u8]| (bytes.len() as u64).to_be_bytes();
    let (kind, of_kind, of_sealed) = (kind.as_bytes(), length(kind.as_bytes()), length(sealed));
    sha256(&[client, event, &of_kind, kind, &of_sealed, sealed])
}

/// An event's body, sealed.
pub(super) fn seal_event(key: &SealingKey, event: &Event, body: &str) -> Inner<Vec<u8>> {
    let (id, client) = (event.id.bytes(), event.client.bytes());
    let context: [&[u8]; 5] = [EVENT, &client, &id, event.what.kind().as_bytes(), &KEY_VERSION.to_be_bytes()];
    key.seal(&id, &context, body.as_bytes())
        .ok_or_else(|| Fail::Damaged("an event cannot be sealed".to_owned()))
}

/// An event's body, opened; none when it is not what was sealed as this.
pub(super) fn open_event(
    key: &SealingKey,
    client: ClientId,
    id: EventId,
    kind: &str,
    sealed: &[u8],
) -> Option<String> {
    let (id, client) = (id.bytes(), client.bytes());
    let context: [&[u8]; 5] = [EVENT, &client, &id, kind.as_bytes(), &KEY_VERSION.to_be_bytes()];
    String::from_utf8(key.open(&id, &context, sealed)?).ok()
}

/// What stands, sealed. Its nonce is its thing's and not its event's, which has its own.
pub(super) fn seal_state(
    key: &SealingKey,
    client: ClientId,
    thing: ([u8; 16], StateKind),
    state: &str,
) -> Inner<Vec<u8>> {
    let (id, client) = (thing_id(thing), client.bytes());
    let context: [&[u8]; 5] =
        [STATE, &client, &thing.0, thing.1.word().as_bytes(), &KEY_VERSION.to_be_bytes()];
    key.seal(&id, &context, state.as_bytes())
        .ok_or_else(|| Fail::Damaged("what stands cannot be sealed".to_owned()))
}

/// What stands, opened; none when it is not what was sealed as this.
pub(super) fn open_state(
    key: &SealingKey,
    client: ClientId,
    thing: ([u8; 16], StateKind),
    sealed: &[u8],
) -> Option<String> {
    let (id, client) = (thing_id(thing), client.bytes());
    let context: [&[u8]; 5] =
        [STATE, &client, &thing.0, thing.1.word().as_bytes(), &KEY_VERSION.to_be_bytes()];
    String::from_utf8(key.open(&id, &context, sealed)?).ok()
}

const EVENT: &[u8] = b"event";
const STATE: &[u8] = b"what stands";

fn thing_id((subject, kind): ([u8; 16], StateKind)) -> [u8; 16] {
    sha256(&[STATE, kind.word().as_bytes(), &subject]).half()
}

/// A row of the log as far as it can be opened: client, identifier, kind, and what is sealed.
pub(super) type SealedRow = (Vec<u8>, Vec<u8>, String, Vec<u8>);

/// The event of a row.
pub(super) async fn opened(keys: &mut Keys, (client, id, kind, sealed): &SealedRow) -> Inner<Event> {
    let broken = || Fail::Damaged("a row of the log has a field that cannot be".to_owned());
    let client = client_of(client).ok_or_else(broken)?;
    let id = id.as_slice().try_into().ok().and_then(|b| EventId::from_bytes(b).ok()).ok_or_else(broken)?;
    let body = open_event(keys.needed(client).await?, client, id, kind, sealed);
    let body = body.ok_or_else(|| Fail::Damaged(format!("event {id} does not open with its key")))?;
    super::read::decoded(&body)
}

/// A client's identifier from its bytes.
pub(super) fn client_of(bytes: &[u8]) -> Option<ClientId> {
    ClientId::from_bytes(bytes.try_into().ok()?).ok()
}
