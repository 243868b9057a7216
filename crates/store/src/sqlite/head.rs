//! The end of the log, kept apart from the database: how many events were acknowledged, and the checksum of the chain there.
//!
//! When SQLite opens a file after a crash it takes its write-ahead file up to the first frame that does not hold, and says nothing
//! of what comes behind. A power cut leaves just such an end, of what nobody was promised; so does one bit that the disk lost in the
//! middle of what was acknowledged. Only what is kept elsewhere tells the one from the other: whatever was acknowledged is in this file
//! before the answer is given, and a log that does not reach there has lost its end.
//!
//! The file has two entries, each with a checksum of its own, and the older one is written over: a write that is cut short leaves the
//! other. It is as long from the beginning as it will ever be, so that a full disk does not keep an entry out.

use super::file::FileId;
use super::{Fail, Inner, append, sealing};
use crate::digest::{Digest, sha256};
use crate::error::{Result, StoreError};
use crate::store::Seq;
use sqlx::SqliteConnection;
use std::fs::{self, File, OpenOptions};
use std::io::{ErrorKind, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

/// Where an entry begins: far enough apart that no block of a disk holds parts of both.
const ENTRIES: [usize; 2] = [0, 4_096];
/// Bytes of the file.
const LENGTH: usize = 8_192;
/// What the checksum of an entry begins with.
const KIND: &[u8] = b"setwright end of a log";

/// The end of the log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Head {
    pub(super) seq: Seq,
    pub(super) chain: Digest,
}

impl Head {
    /// Before anything.
    pub(super) const NONE: Self = Self { seq: 0, chain: Digest::NONE };

    /// Place, checksum of the chain, and checksum of both, as text.
    fn entry(self) -> String {
        format!("{:019} {} {}\n", self.seq, self.chain, self.check())
    }

    fn check(self) -> Digest {
        sha256(&[KIND, &self.seq.to_be_bytes(), &self.chain.0])
    }

    fn read(bytes: &[u8]) -> Option<Self> {
        let line = std::str::from_utf8(bytes).ok()?.lines().next()?;
        let (seq, rest) = line.split_once(' ')?;
        let (chain, _) = rest.split_once(' ')?;
        let head = Self { seq: seq.parse().ok()?, chain: Digest::read(chain)? };
        // An entry is what would be written of it, to the letter.
        (head.entry().trim_end() == line).then_some(head)
    }
}

/// A ledger in a file, whose end is kept beside it.
#[derive(Clone, Debug)]
pub(super) struct KeptBeside {
    pub(super) ledger: PathBuf,
    pub(super) id: FileId,
}

impl KeptBeside {
    /// Refuses a log that does not reach what is kept.
    pub(super) async fn checked(&self, c: &mut SqliteConnection) -> Inner<()> {
        match kept(&self.ledger)? {
            Some(head) => reaches(c, &self.ledger, head).await,
            None => Ok(()),
        }
    }

    /// Keeps the end of what was committed, before it is acknowledged; nothing is when the file is no longer the ledger.
    pub(super) fn acknowledge(&self, head: Head) -> Result<()> {
        self.id.still_at(&self.ledger)?;
        advance(&self.ledger, head)
    }
}

/// Where the end of this ledger's log is kept.
pub(super) fn beside(ledger: &Path) -> PathBuf {
    let mut name = ledger.as_os_str().to_owned();
    name.push(".head");
    PathBuf::from(name)
}

/// The end that is kept; none where no such file is.
pub(super) fn kept(ledger: &Path) -> Result<Option<Head>> {
    let path = beside(ledger);
    match File::open(&path) {
        Err(e) if e.kind() == ErrorKind::NotFound => Ok(None),
        Err(e) => Err(StoreError::NotReadable { path, what: e.to_string() }),
        Ok(mut file) => {
            let [one, other] = entries(&path, &mut file)?;
            let newest = one.into_iter().chain(other).max_by_key(|head| head.seq);
            newest.map(Some).ok_or_else(|| StoreError::damaged(&path, "neither of its two entries holds"))
        }
    }
}

fn entries(path: &Path, file: &mut File) -> Result<[Option<Head>; 2]> {
    let mut bytes = Vec::with_capacity(LENGTH);
    let read = file.take(LENGTH as u64).read_to_end(&mut bytes);
    read.map_err(|e| StoreError::file(path, &e))?;
    Ok(ENTRIES.map(|at| Head::read(bytes.get(at..(at + 4_096).min(bytes.len()))?)))
}

/// Begins the file; whoever calls has the ledger's write lock, so that nobody else does.
pub(super) fn begin(ledger: &Path, head: Head) -> Result<()> {
    let path = beside(ledger);
    let mut part = path.clone().into_os_string();
    part.push(".part");
    let part = PathBuf::from(part);
    let broken = |e| StoreError::file(&path, &e);
    let mut bytes = vec![b'\n'; LENGTH];
    for at in ENTRIES {
        for (place, byte) in bytes.iter_mut().skip(at).zip(head.entry().bytes()) {
            *place = byte;
        }
    }
    let mut options = OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(&part).map_err(broken)?;
    // Whoever may read the ledger may read how far it goes.
    let rights = fs::metadata(ledger).map(|m| m.permissions());
    rights.and_then(|rights| file.set_permissions(rights)).map_err(broken)?;
    file.write_all(&bytes).and_then(|()| file.sync_all()).map_err(broken)?;
    fs::rename(&part, &path).map_err(broken)
}

/// Keeps a later end, on the disk when this returns. Writers take turns, and none takes back what another has kept.
pub(super) fn advance(ledger: &Path, head: Head) -> Result<()> {
    let path = beside(ledger);
    let broken = |e| StoreError::file(&path, &e);
    let mut file = match OpenOptions::new().read(true).write(true).open(&path) {
        Ok(file) => file,
        Err(e) if e.kind() == ErrorKind::NotFound => return begin(ledger, head),
        Err(e) => return Err(broken(e)),
    };
    file.lock().map_err(broken)?;
    let kept = entries(&path, &mut file)?.map(|entry| entry.map_or(-1, |head| head.seq));
    let [one, other] = kept;
    if one.max(other) >= head.seq {
        return Ok(());
    }
    let [first, second] = ENTRIES;
    let at = if one <= other { first } else { second };
    file.seek(SeekFrom::Start(at as u64)).map_err(broken)?;
    file.write_all(head.entry().as_bytes()).map_err(broken)?;
    file.sync_data().map_err(broken)
}

/// Whether the log reaches the end that was kept before it was looked at; otherwise what is lost.
pub(super) async fn reaches(c: &mut SqliteConnection, ledger: &Path, kept: Head) -> Inner<()> {
    if kept.seq == 0 {
        return Ok(());
    }
    let there = append::link_at(c, Some(kept.seq)).await?;
    if there.is_some_and(|(_, chain)| chain == kept.chain) {
        return Ok(());
    }
    // It was kept before the log was sealed, and not yet anew since.
    if sealing::end_before(c).await? == Some(kept) {
        return Ok(());
    }
    let last = append::link_at(c, None).await?.map_or(0, |(seq, _)| seq);
    let (path, acknowledged) = (ledger.to_owned(), kept.seq);
    Err(Fail::Store(StoreError::EndLost { path, last, acknowledged }))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn head(seq: Seq) -> Head {
        Head { seq, chain: sha256(&[&seq.to_be_bytes()]) }
    }

    #[test]
    fn the_newest_end_is_kept_and_none_is_taken_back() {
        let folder = tempfile::tempdir().unwrap();
        let ledger = folder.path().join("ledger");
        fs::write(&ledger, "").unwrap();
        assert_eq!(kept(&ledger).unwrap(), None);
        for seq in [3, 4, 9] {
            advance(&ledger, head(seq)).unwrap();
            assert_eq!(kept(&ledger).unwrap(), Some(head(seq)));
        }
        advance(&ledger, head(7)).unwrap();
        assert_eq!(kept(&ledger).unwrap(), Some(head(9)));
    }

    #[test]
    fn an_entry_that_was_cut_short_or_changed_leaves_the_one_before_it() {
        let folder = tempfile::tempdir().unwrap();
        let ledger = folder.path().join("ledger");
        fs::write(&ledger, "").unwrap();
        advance(&ledger, head(1)).unwrap();
        advance(&ledger, head(2)).unwrap();
        advance(&ledger, head(3)).unwrap();
        let whole = fs::read(beside(&ledger)).unwrap();
        assert_eq!(whole.len(), LENGTH);
        let newest = ENTRIES.into_iter().max_by_key(|at| Head::read(&whole[*at..]).map(|h| h.seq)).unwrap();
        for bit in 0..8 * head(3).entry().trim_end().len() {
            let mut bytes = whole.clone();
            bytes[newest + bit / 8] ^= 1 << (bit % 8);
            fs::write(beside(&ledger), bytes).unwrap();
            assert_eq!(kept(&ledger).unwrap(), Some(head(2)), "bit {bit}");
        }
        fs::write(beside(&ledger), "").unwrap();
        assert!(matches!(kept(&ledger), Err(StoreError::Damaged { .. })));
    }
}
