# What the server and the commands say of themselves: the frame of every page, errors, settings,
# backups, damage. "Server" and "shop computer" are the same machine: screens say shop computer.

# The frame around every page
server-frame-title = Desk
server-frame-skip = Skip to content
server-frame-menu = Main
server-frame-cars = Cars
server-frame-board = Board
server-frame-compare = Compare
server-frame-money = Money
server-frame-models = Models
server-frame-checklists = Checklists
server-frame-verify = Check a PDF
server-frame-people = Phones and people
server-frame-caution = Bradawl records what was seen. It doesn't replace a licensed inspection; local law decides.
server-frame-about = About Bradawl
server-desk-open = This desk is open: it has no passphrase yet.
server-desk-open-go = Set a passphrase

## What was typed and isn't saved yet

server-keep-back = What you typed is back. It isn't saved yet.
# stands before a list such as "Budget: 900"
server-keep-moved = Somebody changed these meanwhile, and saving replaces them. Saved now:
server-keep-files = Pick your files again.
server-keep-drop = Throw away what I typed
server-keep-lost = No answer from Bradawl. Nothing was sent, and what you typed is still here. Try again when the connection is back.
server-keep-sign-in = You've been signed out. Nothing was sent, and what you typed is still here.
server-keep-sign-in-go = Sign in and come back
server-keep-leave = Something you typed isn't saved yet. Sign out and lose it?

## Pages that say what went wrong

# $id is a short code in the server's log
server-request = Asking for help? Quote request { $id }.
# The head of a page that says what went wrong
server-error = That didn't work

# Answers to requests that cannot be carried out
server-http-400 = This request can't be read.
server-http-404 = There's nothing at this address.
server-http-405 = This address doesn't take that kind of request.
server-http-413 = That's too large to send in one request.
server-http-other = The request was turned down.
# $where names the field, such as body.name
server-invalid = Something in this request isn't as described: { $where }.
server-internal = The shop computer made a mistake while answering this.
server-not-ready = The shop computer is on but can't open its records right now; its terminal says why. Nothing is lost: phones keep what they have and send it later.
server-storage-disk-full = The shop computer's disk is full, so nothing was saved. Earlier data is safe, and phones keep what they have. Free up space, then send this again.
server-storage-read-only = The shop computer's disk is read-only right now, so nothing was saved. You can still look things up, and phones keep what they have. Check the data folder's permissions and how its disk is mounted; `bradawl doctor` says more.
server-storage-damaged = The shop computer's database is damaged. What's on a phone is safe: keep it, and run `bradawl doctor` there, which says what to do.
server-storage-busy = The shop computer is busy with something long, so nothing was saved. Phones try again on their own; at the desk, send this again.
server-storage-storage = The shop computer's disk or database isn't responding, so nothing was saved. What's on a phone is safe. Try again; if it keeps happening, run `bradawl doctor` there to find out why.

# Settings of the environment; $given is what stands in them
server-setting-file = { $file } can't be read: it isn't what the desk writes. Delete it, and choose region and backups again at the desk.
server-setting-region = BRADAWL_REGION is “{ $given }”. Use us or eu.
server-setting-backups-kept = BRADAWL_BACKUPS_KEPT is “{ $given }”. It's how many daily backups to keep, from 1 to { $most }. BRADAWL_BACKUPS=off makes none.
server-setting-log-json = BRADAWL_LOG_JSON is “{ $given }”. Use 1 for JSON lines, 0 or nothing for text.
server-setting-log-mb = BRADAWL_LOG_MB is “{ $given }”. It's how large one log file may grow, in MB, at least { $least }.
server-setting-log-files = BRADAWL_LOG_FILES is “{ $given }”. It's how many log files to keep, from 1 to 100.

# Disks and databases: what is wrong with $place, and what to do. $free is a size, $user and $owner
# are numbers of users of the computer
server-disk-unusable = { $place } can't be used: { $why }.
server-disk-full = The disk of { $place } is full ({ $free } free).
server-disk-read-only = The disk of { $place } is read-only right now.
server-disk-forbidden = User { $user } isn't allowed to use { $place }; it belongs to user { $owner }.
server-disk-damaged = { $place } is damaged: it isn't a whole database.
server-disk-locked = Another program is holding { $place }.
server-disk-missing = There's no file { $place }.
server-disk-failing = { $place } can't be read or written.
server-disk-no-answer = { $place } doesn't respond.
server-disk-little = The disk of { $place } has only { $free } left; below { $least } no more photos are taken, only entries.
server-remedy-full = Free up space on it; nothing saved earlier is lost.
server-remedy-read-only = That alone damages nothing. Find out why it was mounted that way (a disk error, a switch on the card), and mount it for writing again.
server-remedy-forbidden = Run this as the user who owns the data folder, or give that folder to this user.
server-remedy-damaged = Stop the server, keep a copy of the data folder as it is, and restore the latest backup. Phones then resend whatever the backup lacks and they still have.
server-remedy-locked = Close whatever has it open besides the server, then try again.
server-remedy-missing = If BRADAWL_DATA or BRADAWL_DATABASE_URL names the right place and its disk is mounted, restore the latest backup.
server-remedy-failing = Check the disk and its cable, copy the data folder to another one, then carry on.
server-remedy-no-answer = Check that it's running and can be reached from this computer.
server-size-tb = { $figure } TB
server-size-gb = { $figure } GB
server-size-mb = { $figure } MB
server-size-kb = { $figure } kB
server-size-bytes =
    { $count ->
        [one] { $count } byte
       *[other] { $count } bytes
    }
server-swap-busy = Another Bradawl is putting a restored database in place right now. Try again when it's done.
server-swap-unreadable = { $file } says how to finish a restore, but it can't be read. The restored files are next to it in a folder ending in “-restoring”, the earlier ones under names starting with “before-restore-”. Remove { $name }, then restore again from the backup.
server-swap-restoring = A backup is being restored to { $file }. Start again when it's done.
server-folder-missing = Bradawl's folder “{ $name }” is missing (looked in { $places }). In a checkout, `make build` makes it; a Bradawl installed with pip needs reinstalling.
server-database-old = This database was written by Bradawl 0.1 or a version between that and 0.2; this version can't read its entries. Nothing was changed. Move the data folder aside, or name another one with BRADAWL_DATA, and start again: Bradawl then starts fresh.
server-database-new = This database was written by a newer Bradawl (revision { $revision }; this one knows up to { $newest }). Reinstall the newer Bradawl, or restore the backup made before it.

server-update-no-backup = This data folder was written by an older Bradawl, and nothing was changed, since no backup could be made before the update: { $why }

# Connections and phones
server-head-slow = The head of the request didn't arrive in time. Send it again.
server-head-long = The head of a request can have { $most } bytes.
server-device-key = A device's key is a P-256 point of 65 bytes in base64url.
server-unknown-checklist = No checklist with this hash was ever served here.
server-judge-gone = This server has a newer judge than the one asked for; /api/v1/offline names it.

# Photos that cannot be taken or shown
server-photo-kind = This file isn't a photo we can read: it's not JPEG, PNG, WebP, or HEIC. Take the photo again; the note beside it is safe.
server-photo-data = This file isn't a photo we can read: its picture data is damaged. Take the photo again; the note beside it is safe.
server-photo-first-part = This file isn't a photo we can read: its first part is damaged. Take the photo again; the note beside it is safe.
server-photo-end = This file isn't a photo we can read: it was cut off. Take the photo again; the note beside it is safe.
server-photo-pixels = This photo has more than { $millions } million pixels. Send it smaller.
server-photo-memory = This photo is kept as it came, but it can't be shown: opening it takes more than the { $megabytes } MB of memory set aside for that. Take it again with fewer pixels, or as a plain JPEG.
server-photo-undecodable = This photo is kept as it came, but it can't be shown: the decoder gave up on it. Take the photo again.
# The same after "because"
server-photo-clause-damaged = it's damaged or not an image
server-photo-clause-pixels = it has more than { $millions } million pixels
server-photo-clause-memory = opening it would take more than { $megabytes } MB of memory; it's kept as it came
server-photo-clause-undecodable = the decoder gave up on it; it's kept as it came

# A car, and the signatures under what was found
server-unknown-visit = This shop computer has no car with this ID.
server-seal-key = This signature wasn't made with the key of the phone that wrote it.
server-seal-waiting = Some signed entries haven't reached the shop computer yet.
server-seal-findings = These aren't the findings that were signed.
server-seal-photos = These aren't the photos that were signed.

# The page about Bradawl
server-about = About
server-about-new = New in { $version }
server-about-within = (within { $name })
server-about-license = License
server-about-copyleft = Other people's work under copyleft licenses
server-about-others = Other people's work under other licenses
server-about-texts = The licenses word for word: `bradawl about --texts`.

# What a phone sends, and why it is not taken. Programs read these too; phones have words of their
# own for the commoner ones
server-event = Event { $number } of the batch: { $what }
server-event-stamp = its stamp isn't “milliseconds-counter-device” of its own device.
server-event-order = its stamp isn't later than that of the event before it.
server-event-scope = its scope isn't “inspection/ID”, “car/ID”, or “shop”.
server-event-path = its path can have a–z, 0–9, “.”, “_”, “-”, and “/” between words, and at most 200 characters.
server-event-size = it has { $size } bytes; { $most } are allowed.
server-event-erased = an erased event shows its commitment and no value.
server-event-stays = “{ $path }” holds no personal data and can't be erased.
server-event-salt = its salt isn't 16 bytes in base64url.
server-event-commit = its commitment doesn't match its value.
server-event-over = “over” can have only event IDs: stamp~commitment.
server-event-over-order = “over” must be sorted, each ID once.
server-event-unstamped = it has no stamp or no scope.
server-value = this value can't be recorded: { $why }
server-value-json = its value isn't JSON ({ $why }).
server-value-float = its value has a number with a fraction or exponent; a reading is sent as the text that was typed.
server-value-integer = its value has an integer of 2**53 or more.
server-value-key = its value has a key that isn't ASCII.
server-value-nesting = its value is nested more than { $most } deep.
server-value-canonical = its value isn't canonical JSON (RFC 8785).
server-value-type = its value isn't one that JSON has.
server-batch = This batch can't be read: { $what }
server-batch-bytes = A batch can have { $most } bytes, and this one is larger. Send fewer events.
server-batch-events = A batch can have { $most } events, and this one has { $count }. Send it in parts.
server-batch-device = its device isn't an ID of 32 hexadecimal characters.
server-batch-from = from_seq must be 1 or more.
server-batch-empty = it has no events.
server-batch-prev = prev must be a hash, or "" when the batch starts with event 1.
server-batch-json = it isn't JSON ({ $why }).
server-batch-nested = it's nested too deeply.
server-batch-head = The events of this batch don't add up to its head hash: something changed on the way. Send it again; if you see this again, the phone's own copy is damaged.
server-batch-key = This batch can't be taken in: { $why }
server-batch-other-key = The key of this batch belongs to another device than its events name. Nothing was saved: a device's entries are taken in only with its own signature.
server-batch-unsigned = The entries of this batch aren't signed by the device they name. Nothing was saved.
server-app-old = This app is too old for the shop computer. Update the app; nothing on the phone is lost.
server-older = The shop computer is older than the app. Update Bradawl there; the phone keeps everything until then.
server-unconfirmed =
    { $count ->
        [one] At the desk, { $count } set of entries is waiting for the owner to confirm it. Nothing more from unknown phones is taken in until then; what's on the phone is safe.
       *[other] At the desk, { $count } sets of entries are waiting for the owner to confirm them. Nothing more from unknown phones is taken in until then; what's on the phone is safe.
    }
server-fork = The shop computer has other entries under these numbers than the phone is sending: the phone's record was copied or set back to an older state. Nothing is lost: the phone continues under a new number, and its entries come along.
server-gap = The server has this device's events up to { $held }, and this batch starts later. Send from { $next } on.
server-body = This request can't be read: { $why }.
server-body-encoding = Send the body as it is, or packed with gzip.
server-body-damaged = The packed body is damaged. Send it again.
server-body-cut = The packed body is cut off or has a tail. Send it again.
server-body-large = A request can have { $most } bytes; this one has more.
server-have = The field “have” says for each device ID up to which event it's held, and that event's hash.
server-photos-asked = You can ask for at most { $most } photos at once.
server-photo-type = Send a photo as image/jpeg, png, webp, or heic, a recording as { $kinds }.
server-blob-unknown = This hasn't reached the shop computer yet.
server-photo-erased = This photo was erased on request and isn't taken in again.
server-photo-name = A photo's name is its SHA-256: 64 hexadecimal characters.
server-photo-changed = What arrived isn't what was announced: it was changed or cut off on the way. It will be sent again.
server-photo-large = A photo can have { $megabytes } MB, and this one has more. Send it smaller.
server-recording-large = A recording can have { $megabytes } MB, and this one has more. Send it smaller.
server-recording-kind = What arrived isn't a recording of type { $kind }. It stays on the phone; send it as what it is.
server-photo-store = The photo store
server-store-refused = The photo store refused { $what }: { $why }
server-store-unreached = The photo store can't be reached: { $why }
server-id-car = A car's ID has 32 hexadecimal characters.
server-id-writer = A writer's ID has 32 hexadecimal characters.
server-not-erasable = “{ $path }” can't be erased: ratings, readings, answers, and signatures stay, because the record rests on them. Nothing was erased.
server-nothing-to-erase = An entry that was to be erased isn't here. Look again.

# Why entries continue under a new number
server-chain-lost = the phone lost its storage and started over
server-chain-forked = two copies of one phone wrote different entries under the same numbers
server-chain-rolled-back = the phone was set back to an older copy of itself
server-chain-restored = the shop computer was restored from a backup
server-chain-copied-back = the data folder was replaced by an older copy
server-chain-file = imported from a file that its phone hadn't signed for this version
server-chain-clock = the shop computer's clock had run far ahead
server-chain-unsigned = a phone kept these entries of another one, and lost what proves them unchanged
server-chain-unknown = entries of a phone that was never paired here

# Damage that `bradawl doctor` finds, and what to do
server-fault-checklist = Checklist { $name }… was changed after it was taken in.
server-fault-unreadable = The database can't be read to its end: { $why }.
server-fault-pages = The database file is damaged: { $answers }.
server-fault-loose =
    { $count ->
        [one] { $count } row of the database points to a row that's gone.
       *[other] { $count } rows of the database point to rows that are gone.
    }
server-fault-gap = Device { $device }…, events { $first } to { $last }: they don't continue what comes before them.
server-fault-events = Device { $device }…, events { $first } to { $last }: they aren't events anymore.
server-fault-hash = Device { $device }…, events { $first } to { $last }: they were changed; their hash is different.
server-fault-unsigned = Device { $device }…, events { $first } to { $last }: they aren't signed by their device.
server-fault-time = Device { $device }…, events { $first } to { $last }: they don't follow in time.
server-fault-chain = Device { $device }… is listed with { $held } events, but its chain ends at { $end }.
server-fault-list = The list says something else about { $scope }… than its events do.
server-fault-pointer = Some car's events can't be found by its ID.
server-fault-photo-gone = Photo { $photo }… was acknowledged, but its file is gone.
server-fault-photo-changed = Photo { $photo }… was changed after it was taken in.
server-fault-photo-unreadable = Photo { $photo }… can't be read: { $why }.
server-fault-photo-copy = The copy of photo { $photo }… kept for showing isn't the one that was made. It isn't shown: it's made again when somebody looks at it.
server-fault-photos-gone = { $place } has none of the { $count } photos that were acknowledged.
server-fault-row = A row of { $table } isn't as it was written ({ $key }).
server-fault-row-gone = A row of { $table } has lost its second copy, or is lost itself ({ $key }).
server-fault-rows = More rows aren't as they were written: { $tables }.
server-fault-folder = There's no data folder { $folder }.
server-fault-open = The database or the photo store can't be opened: { $why }.
server-remedy-repair = Run `bradawl doctor --repair`: what follows from other entries is worked out again, damaged ones are skipped, and phones that still have them bring them at their next sync. What no phone brings comes from the latest backup.
server-remedy-photo-gone = Put { $file } of the photo store back from a backup, or restart the server: a phone that still has the photo then sends it again.
server-remedy-photo-changed = Put { $file } of the photo store back from a backup. Without one, run `bradawl doctor --ask-again` and restart the server: a phone that still has the photo sends it again.
server-remedy-photo-copy = `bradawl doctor --repair` makes it again from the photo now.
server-remedy-photos-gone = Check that its disk is mounted and that BRADAWL_PHOTO_STORE names the right place. If they're lost, restore the latest backup, or restart the server: phones then resend what they still have.
server-remedy-store = Check that the photo store can be reached, then try again.
server-remedy-folder = BRADAWL_DATA names another; `bradawl serve` makes a new one.
server-remedy-again = Then run this again.
server-repair-aside =
    { $count ->
        [one] { $count } entry of device { $device }… is damaged. It's skipped, and phones that still have it are asked to bring it at their next sync.
       *[other] { $count } entries of device { $device }… are damaged. They're skipped, and phones that still have them are asked to bring them at their next sync.
    }
server-repair-lists = What lists show of the cars was worked out again from their entries.
server-repair-device = How far device { $device }… is held was worked out again.
server-value-surrogate = its value has half a character.

# Backups. The pages and commands of backups show these; $why is another sentence
server-backup-off = Daily backups are switched off (BRADAWL_BACKUPS=off).
server-backup-elsewhere = The records are in another database than SQLite: its own backups, and those of the photo store, are made there.
server-backup-elsewhere-file = This server keeps its data in another database than SQLite. Use that database's own backup (for PostgreSQL: pg_dump and pg_restore) and the photo store's.
server-backup-failed = The last backup failed: { $why }
server-backup-old =
    { $count ->
        [one] The last tested backup is { $count } day old.
       *[other] The last tested backup is { $count } days old.
    }
server-backup-damaged =
    { $count ->
        [one] { $count } thing was damaged or missing when the last backup was made.
       *[other] { $count } things were damaged or missing when the last backup was made.
    }
# Whether all is well, in one line: `bradawl doctor` and the desk's first page; $whole is another sentence
server-health-well = All is well. { $whole }
server-health-look =
    { $count ->
        [one] One thing needs a look.
       *[other] { $count } things need a look.
    }
server-health-read = Everything is whole: { $events } from { $devices }, { $photos }.
server-health-proven = The backup of { $when } came back whole when it was tested: { $events }, { $photos }.
server-health-new = The first backup is made five minutes after the start.
server-health-unbacked = Backups are switched off.
server-health-moved = Everything here was moved to another computer on { $when }. Work there: what is recorded here doesn't follow. To go on here after all, delete { $file }.
# A workshop's move to another computer
server-move-foreign = { $file } isn't a file that `bradawl move-out` wrote. A backup is put in place by `bradawl restore`.
server-move-newer = { $file } was written by a newer Bradawl. Install the same version here first; nothing was changed.
server-move-damaged = { $file } is damaged or cut off. Copy it again from the other computer, or write it anew there; nothing was changed.
server-move-passphrase = That isn't the passphrase of { $file }; nothing was changed.
server-move-empty = The file holds something else than a workshop's records and keys. Write it anew with `bradawl move-out`; nothing was changed.
server-move-running = Bradawl is running here. Stop it first, so that nothing is recorded that the file doesn't have.
server-move-unwritten = The file can't be written. { $why }
server-move-there = There are records in { $folder } already; nothing was changed. `--replace` sets them aside, and keeps them.
server-room-move = The move
server-backup-ended = It ended with { $code }: { $why }
server-backup-exists = { $file } already exists. Choose another name; nothing was written.
server-backup-unwritten = The backup can't be written. { $why }
server-backup-nothing = There's no database at { $file }; nothing was written. BRADAWL_DATA names another data folder.
server-backup-no-database = There's no database at { $file }.
server-backup-database = The database is damaged and kept as it is: { $why }
server-backup-uncopied = The database can't be copied. { $why }
server-backup-foreign = { $file } isn't in it: Bradawl gives no file a name like that.
server-backup-loose = A file in the photo store that nothing refers to: { $what }
server-backup-unlisted = The photo store can't be listed: { $why }.
server-backup-photo-went = Photo { $photo }… was acknowledged, but its file disappeared while the backup was made.
server-backup-lacking =
    { $count ->
        [one] { $count } photo that the records refer to didn't come back.
       *[other] { $count } photos that the records refer to didn't come back.
    }
server-backup-then = When it was made: { $what }
server-backup-holds = { $file }: { $events } from { $devices }, { $photos }, { $size }.
server-no-backup = No backup was made. { $why }
server-unreadable = { $file } can't be read ({ $why }).
server-unreadable-short = { $file } can't be written to ({ $why })
server-unknown-time = an unknown time
# Where a photo belongs; $id is how the car's ID begins, $item an item of the checklist
server-photo-of = It belongs to { $place }.
server-place = { $car } ({ $id })
server-place-item = { $car } ({ $id }), item { $item }
# $what is one of the server-room-… below
server-room-little = { $what } needs { $need }, and the disk of { $place } has { $free } free. Free up space there, or choose another disk.
server-room-backup = The backup
server-room-daily = Another backup, with its test restore,
server-room-unpacking = Unpacking { $name }
server-room-photos = Storing its photos
server-room-none = There's no room for a copy of the database ({ $need }): { $tried }. Free up space on one of them.
server-room-unwritable = { $place } can't be written to
server-room-has = { $place } has { $free }
# What is wrong with a file that should be a backup
server-archive-manifest = Its manifest.json can't be read ({ $why }).
server-archive-grew = { $file } grew while it was copied. Make the backup again.
server-archive-shrank = { $file } got shorter while it was copied. Make the backup again.
server-archive-start = It doesn't start like one.
server-archive-foreign = It has something no backup has ({ $name }).
server-archive-end = It goes on past its end.
server-archive-no-file = { $file } isn't a file. A backup is one; copy it to a disk first.
server-archive-none = { $file } isn't a backup that can be restored. { $why }
server-archive-unpacked = { $file } can't be unpacked. { $why }
server-archive-twice = It has { $name } twice.
server-archive-both = It has { $name } as a file and as a folder.
server-archive-large = Its manifest.json is too large.
server-archive-version = It was made by another version of Bradawl.
server-archive-places =
    { $count ->
        [one] The archive can't be read in { $count } place.
       *[other] The archive can't be read in { $count } places.
    }
server-archive-photo = Photo { $photo }… is damaged in the archive.
server-archive-no-photo = Photo { $photo }… isn't in the archive.
server-archive-entry = { $name } can't be read.
server-archive-missing = { $name } is missing from the archive.
server-archive-changed = { $name } was changed after the backup was made.
server-archive-photos =
    { $count ->
        [one] { $count } of its { $all } photos is missing from the archive.
       *[other] { $count } of its { $all } photos are missing from the archive.
    }
server-archive-cut-off = The archive is cut off.
# Why a backup is not restored
server-restore-running = The server is running, or another command is using the records. Stop it, then restore; nothing was changed.
server-restore-nothing = Nothing was restored. { $why }
server-restore-there = There's already a database here ({ $file }). With --replace it's set aside, not deleted; nothing was changed.
server-restore-open = Another program has the database open. Close it, then restore; nothing was changed.
server-restore-cut-off =
    { $count ->
        [one] { $file } is cut off: it ends after { $count } photo, before its end was written. Copy it again from where it came. If this is all there is, --partial restores what's good in it; nothing was changed.
       *[other] { $file } is cut off: it ends after { $count } photos, before its end was written. Copy it again from where it came. If this is all there is, --partial restores what's good in it; nothing was changed.
    }
server-restore-no-database = { $file } has no database that could be restored; nothing was changed. You can get its photos, and what there was of the database, out with tar.
server-restore-database = The database in { $file } can't be used: { $why } Nothing was changed.
server-restore-entries = The backup was made of { $made } entries, but { $count } are in its database.
server-restore-changed = { $file } changed while it was read. Restore it again; the records are as they were.
server-restore-table = The database in the backup lacks the table { $name }.
server-restore-column = The database in the backup lacks the column { $column } of { $name }.
server-restore-foreign = { $file } isn't a Bradawl database ({ $why }).
server-restore-holds = { $file } has a { $kind }, which no Bradawl database has.
server-restore-text = { $file } is damaged: some text in it isn't text anymore.

# Counts with their nouns: $events, $devices, $photos and $waiting of other sentences
server-count-events =
    { $count ->
        [one] { $count } entry
       *[other] { $count } entries
    }
server-count-devices =
    { $count ->
        [one] { $count } device
       *[other] { $count } devices
    }
server-count-photos =
    { $count ->
        [one] { $count } photo
       *[other] { $count } photos
    }
server-count-waiting =
    { $count ->
        [one] { $count } photo still on its phone
       *[other] { $count } photos still on their phones
    }
server-sample = These cars are invented, to play with. Nothing here gets into your shop.
server-sample-back = Back to your shop
