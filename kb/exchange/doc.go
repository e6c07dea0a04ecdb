// Package exchange shares what users write: their own entries, cases and room
// sheets. It packs them into one archive, merges archives into a data folder,
// and drives the installed git to do the same with a common repository.
//
// # Words
//
// A record is one text file of the data folder. Its place says what it is:
//
//	book/…/KIND/ID.yaml            an entry (usually book/own/KIND/ID.yaml)
//	cases/YYYY/ID.jsonl            a case
//	rooms/…/NAME.yaml              a room sheet
//	visits/ROOM/DAY.yaml           what was found on a verification visit
//	history/KIND/ID.REVISION.HASH.yaml   what a newer revision replaced
//	conflicts/KIND/ID.HASH.yaml    what was set aside (.jsonl for a case)
//
// What replaces an entry, a room sheet or a visit leaves the older text in the
// history. Its name holds all that it is, so what everybody kept comes together
// without a conflict; what a merge leaves there travels with the next one.
//
// A set-aside copy is loaded by nothing else; HASH is the first 16 digits of
// its SHA-256. An entry that lies elsewhere below book, or twice, is put in its
// place when it is merged. Names differ in more than letter case, so that they
// fit on every file system; the parts of a path hold letters, digits, spaces,
// dots, hyphens and underscores. What has no fit name or cannot be told apart
// from other files is left out and named.
//
// # The archive
//
// An archive is a plain tar file, or one compressed by gzip. Unpacked with tar
// it is a data folder. The same records give the same bytes: members are
// sorted by path, mode is 0644, time is 1970-01-01 UTC, owners are empty.
//
// The first member is the text file MANIFEST: a line with the format version,
// then one line a record in the order of the members, fields divided by tabs:
//
//	faultbook-archive 2
//	cause	own-hub	2	1024	9f86d0…	book/own/cause/own-hub.yaml
//
// The version is 1 where there are neither visits nor old revisions. The fields
// are kind (case, room, visit, history, or the kind of the entry), id, revision,
// size in bytes, SHA-256 in hexadecimal, path. The revision of an entry or room
// sheet is the number that is written in it (0 for none), that of a visit the
// number under "written", that of a case the number of its events. Whoever wants to check an archive without this program
// unpacks it and compares sha256sum with the fifth column.
//
// A reader takes nothing on trust: paths must be those above, every member must
// be a plain file that the manifest names, sizes, checksums, kinds, ids and
// revisions must agree with the contents, all within the limits of limits.go.
// All is verified before anything is written; one bad record spoils the
// archive, and the error names it.
//
// # Merging
//
// The versions of a record that the folder and the archive hold are taken as a
// set; what another version supersedes is dropped, and of the rest one takes
// the record's place and the others are set aside under conflicts. Since
// this looks at the set alone, neither the order of archives nor repeating them
// makes a difference.
//
//   - An entry, room sheet or visit is superseded by a newer revision. Equal revisions
//     with different bytes are a conflict; so are ids that differ in letter
//     case only. To settle one, put what is wanted into the version that is in
//     place and raise its revision: the other goes at the next merge.
//   - A case is superseded by one that holds all its events in their order, as
//     when it goes on where the other ends. Two that went on differently are a
//     conflict: the longer is in place. Settle makes one that holds both.
//   - Among equals the one with the smaller SHA-256 is in place, so that
//     everybody has the same one there.
//
// # Removed texts
//
// A text that was taken out of a case (cases.Store.Redact) must not come back
// from an older copy. No list of what was removed is kept, not even of hashes,
// from which a name could be guessed: the case tells by itself. An event in
// which [removed] stands supersedes the event of the same time in every other
// version that differs from it only in the texts there, also in versions that
// went on differently. Where two people removed different parts of one text
// independently of each other, all between the first and the last removal goes.
// (If a third did so as well, one who saw the versions in another order may
// keep more of that text; all are equal once they exchange again.)
//
// Two things stay as they are: archives that lie about, and the history of a
// git repository. And the events that only another version has may hold the
// text too: Forget takes it out of set-aside copies.
//
// # Crashes
//
// Every record is written by cases.WriteFile, set-aside copies before what
// replaces them, and nothing is deleted before what supersedes it lies there.
// So after a kill each record is the old or the new one, and merging again
// completes it.
//
// # Sync
//
// Sync makes the data folder a git repository and commits records, nothing
// else, straight from their bytes: no checkout, no filters, no hooks, no
// signing, no prompts, no change outside the folder's own .git. The merge is
// the one above with the last common commit as a third side: what one side
// removed since then and the other left alone is removed. Everything can be
// read without git.
package exchange
