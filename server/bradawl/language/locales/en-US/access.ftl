# Phones, people, keys, sharing, erasing, backup: the pages that say who may do what, and their
# errors. `…` is what is typed or a file's name; keep it. Screens say "shop computer" for the server.

# The frame of these pages
access-menu = Access
access-sign-out = Sign out
access-phones = Phones
access-people = People
access-sign-ins = Sign-ins
access-keys = Keys
access-letterhead = Letterhead
access-trail = Audit trail
access-backup = Backup
access-change = Change
access-name = Name
access-role = Role
access-valid = Valid
access-sha = SHA-256
access-you = (you)
access-unknown-browser = Unknown browser

# Roles
access-role-owner = owner
access-role-inspector = inspector
access-role-reader = reader
access-may-owner = everything: people, phones, keys, erasing, backup
access-may-inspector = look over cars, work at the desk, share reports, use a paired phone
access-may-reader = open the reports shared with them, nothing else

# Sign in
access-signin-title = Sign in
access-signin-head = Sign in at the desk
access-signin-name = Name
access-passphrase = Passphrase
access-signin-help = No passphrase yet? The shop computer printed a one-time link when it started. Lost it, or forgot your passphrase? Run `bradawl invite` there for a new one.
access-first-title = Choose a passphrase
access-first-head = Choose your passphrase
access-first-code = One-time code
access-after-hash = The part of the link after "#".
access-first-name = Your name
access-first-rule = At least 12 characters; four or five unrelated words work well. Spaces count.
access-first-again = Type it again
access-first-keep = Save and sign in
access-close-desk-why = Until somebody has a passphrase, everything here is open to whoever sits at this computer. Phones and other computers can't get in. With a passphrase you sign in first, and can add others.

## Asked once more, before something goes

access-sure-block = Yes, block
access-sure-link = Yes, make the link
access-sure-link-why = { $name } chooses a new passphrase with it, and is signed out everywhere then. A link made earlier stops working now.
access-sure-person-why = Signs { $name } out everywhere and stops the phones paired as { $name } right away. What { $name } recorded stays.
access-sure-close = Yes, close it
access-sure-close-why = Whoever has the link can't open the report any more. A closed link stays closed; you can make another.
access-sure-erase = Yes, erase for good
access-sure-erase-why = Deleted for good here and on the phones. There's no undo.
access-sure-remove = Yes, remove
access-sure-key-why = Reports signed by { $name } then count as signed by somebody unknown, until you add them again.
access-confirm-title = Passphrase again
access-confirm-head = Your passphrase again
access-confirm-why = Phones, people, keys, erasing, and backup ask for it if you haven't typed it in the last ten minutes. Nothing has changed yet; you'll come back to where you were.
access-confirm-field = Passphrase for { $name }
access-confirm-go = Continue

# Phones
access-phones-none = No phones are paired. Open Bradawl on the phone, go to its Pair screen, and add it here with the code it shows.
access-phones-approved = Approved: { $names }. It shows up here once the phone picks up its pairing; keep Bradawl open on it.
access-phones-caption = Phones, last seen first
access-phones-phone = Phone
access-phones-owner = Belongs to
access-phones-paired = Paired
access-phones-seen = Last seen
access-phones-new-name = New name for { $name }
access-phones-rename = Rename
access-phones-revoke = Block { $name }
access-phones-revoked = Blocked { $when }
access-phones-what-revoke = Blocking stops a phone right away: it can't send or receive. Nothing it sent is removed here, and nothing on it is removed there; pair it again and it sends the rest.
access-add-phone = Add a phone
# The words in bold are buttons of the phone app
access-add-step-1 = On the phone, open Bradawl from its home screen, tap **Pair this phone to send** at the top, then **Ask to pair**. It shows a code and four words.
access-add-step-2 = Type the code here. It expires in five minutes and works once.
access-add-step-3 = Compare the four words on both screens, then approve.
access-add-code = Code on the phone
access-add-find = Find the phone

# Approving a phone
access-approve-title = Approve a phone
access-approve-head = Is this the phone in your hand?
access-approve-head-known = Is this “{ $name }”, in your hand?
access-approve-words = The phone must show exactly these four words:
access-approve-rivals = Another request with the same ID is waiting, from { $addresses }. Only one can be the phone in your hand: the one showing these words. Approving it ends the other.
access-approve-known = It says it's a phone we know
access-approve-known-as = Known as
access-approve-pairing = Pairing
access-approve-since = since { $when }
access-approve-revoked = blocked { $when }
access-approve-seen = { $when } ({ $ago })
access-approve-does-known = **What approving does:** this phone takes the place of “{ $name }”. What it sends counts as recorded by that phone. The phone in that place now is cut off as soon as this one picks up its pairing. Its name here stays “{ $name }”.
access-approve-does-revoked = **What approving does:** this phone takes the place of “{ $name }”. What it sends counts as recorded by that phone, and it's no longer blocked. Its name here stays “{ $name }”.
access-approve-refuse-when = **When to say no:** “{ $name }” still works, or isn't the phone in your hand. Then somebody else knows its ID.
access-approve-recorded = It says it's a device whose entries are here
access-approve-does-recorded = It was never paired here, but entries with its ID came in a file. **What approving does:** this phone carries on from them, and what it sends counts as recorded by that device.
access-approve-alike = A new phone with a name like one we know
access-approve-alike-what = Never seen here, but its name is close to { $names }. It's a different phone: we'd know that one.
access-approve-alike-seen = “{ $name }” ({ $person }, last seen { $when })
access-approve-alike-revoked = “{ $name }” ({ $person }, blocked)
access-approve-alike-more =
    { $count ->
        [one] { $count } more
       *[other] { $count } more
    }
access-approve-calls = Calls itself
access-approve-from = Asking from
access-approve-left = Time left
access-approve-left-time = { $minutes } min { $seconds } s
access-approve-new = Known here
access-approve-new-no = No, it's new
access-approve-moves = It's changing hands: from { $person } to the person chosen above.
access-approve-hold = “{ $name }” is in my hand, and it lost its pairing.
access-approve-hold-recorded = The device that made those entries is in my hand.
access-approve-yes = Words match: approve
access-approve-no = Refuse
access-approve-person = { $name }, { $role }
access-ago-day =
    { $count ->
        [one] { $count } day ago
       *[other] { $count } days ago
    }
access-ago-hour =
    { $count ->
        [one] { $count } hour ago
       *[other] { $count } hours ago
    }
access-ago-minute =
    { $count ->
        [one] { $count } minute ago
       *[other] { $count } minutes ago
    }
access-ago-now = just now

# People
access-people-link = One-time link for **{ $name }**, shown only now. It works once, within a day:
access-people-caption = People, by name
access-people-sign-in = Sign-in
access-people-reports =
    { $count ->
        [one] { $count } report
       *[other] { $count } reports
    }
access-people-blocked = blocked
access-people-has = has a passphrase
access-people-has-none = no passphrase yet
access-people-role-of = Role for { $name }
access-people-change-role = Change role
access-people-new-passphrase = One-time link for a new passphrase
access-people-invite = One-time link
access-people-block = Block { $name }
access-people-add = Add somebody
access-people-role-does = **{ $role }**: { $may }
access-people-add-go = Add and make a one-time link

# Sign-ins
access-sessions-none = Nobody is signed in: until somebody sets a passphrase, the desk is open to whoever sits at this computer.
access-sessions-caption = Sign-ins, last used first
access-sessions-browser = Browser
access-sessions-whose = Whose
access-sessions-from = From
access-sessions-since = Since
access-sessions-used = Last used
access-sessions-this = this one
access-sessions-end = Sign out
# Read out after "Sign out", to tell the buttons apart
access-sessions-end-which = { $person }, { $browser }, since { $when }
access-sessions-end-others = Sign me out everywhere else
access-sessions-help = A sign-in ends after 12 hours without use, and after 7 days no matter what. See one you don't know? Sign it out, then choose a new passphrase with a one-time link.
access-sessions-help-ask = A sign-in ends after 12 hours without use, and after 7 days no matter what. See one you don't know? Sign it out, then ask an owner for a one-time link and choose a new passphrase.
access-sessions-phones = Phones don't sign in, they're paired: see { $phones }.

# The audit trail
access-trail-what = Everything about access, newest first. Lines are never changed or deleted; the database itself won't allow it.
access-trail-when = When
access-trail-who = Who
access-trail-act = What
access-trail-about = About
access-trail-from = From
access-trail-older = Older lines
access-trail-more = More than { $count } in an hour; the rest aren't listed.
access-who-nobody = nobody
access-who-shell = command line
# What somebody did, as a short phrase
access-act-added-as-inspector = added as inspector
access-act-added-as-owner = added as owner
access-act-added-as-reader = added as reader
access-act-authority-replaced = authority replaced
access-act-backup-downloaded = backup downloaded
access-act-backup-written = backup written
access-act-certificate-taken-out = certificate downloaded
access-act-letterhead-changed = letterhead changed
access-act-link-closed = link closed
access-act-link-to-the-condition-report-made = link to the condition report made
access-act-link-to-the-repaired-report-made = link to the report after repair made
access-act-link-to-the-partner-report-made = link to the partner report made
access-act-made-inspector = made an inspector
access-act-made-owner = made an owner
access-act-made-reader = made a reader
access-act-one-time-code-failed = one-time code didn't work
access-act-one-time-link-made = one-time link made
access-act-other-sign-ins-ended = other sign-ins ended
access-act-pairing-closed-after-wrong-codes = pairing closed after wrong codes
access-act-pairing-code-not-known = unknown pairing code
access-act-pairing-polled-with-an-unknown-secret = pairing checked with an unknown secret
access-act-passphrase-confirmed = passphrase confirmed
access-act-passphrase-not-confirmed = wrong passphrase
access-act-passphrase-set = passphrase set
access-act-phone-approved = phone approved
access-act-phone-approved-in-the-place-of-a-known-one = phone approved in place of a known one
access-act-phone-asked-to-be-paired = phone asked to be paired
access-act-phone-named = phone renamed
access-act-phone-paired = phone paired
access-act-phone-paired-on-this-machine = phone paired on this machine
access-act-phone-refused = phone refused
access-act-phone-revoked = phone blocked
access-act-report-fetched-by-link = report opened by link
access-act-report-link-did-not-open = report link didn't open
access-act-report-no-longer-shared-with = report no longer shared with
access-act-report-shared-with = report shared with
access-act-restored-from-a-backup = restored from a backup
access-act-shut-out = blocked
access-act-sign-in-ended = signed out by an owner or from another browser
access-act-sign-in-failed = sign-in failed
access-act-signed-in = signed in
access-act-signed-out = signed out
access-act-signer-known = signer added
access-act-signer-no-longer-known = signer removed
access-act-signing-key-replaced = signing key replaced
access-act-took-in-a-file-that-is-not-signed = imported an unsigned file
access-act-values-erased = values erased
access-act-was-refused = was refused

# Keys
access-keys-shop = The key that signs reports
access-keys-signs-as = Signs as
access-keys-from-to = { $begins } to { $ends }
access-keys-sha = SHA-256 of the certificate
access-keys-public = People who get your reports can compare these digits, or keep the certificate. It's public; the key itself never leaves `{ $folder }` and isn't in any backup.
access-keys-download = Download certificate
access-keys-replace = Replace this key
access-keys-replace-when = When it's about to expire, or when the shop has a new name.
access-keys-replace-1 = Reports made from now on carry the new certificate: give it to whoever checks them.
access-keys-replace-2 = The old certificate stays with the known signers, so reports signed until now still count. Its key is overwritten.
access-keys-replace-3 = If the old key may have been copied, declare it lost below: then nothing signed with it since that day counts. Make the reports that matter again.
access-keys-sign-as = Sign as
access-keys-understood = The old key is gone for good after this.
access-keys-replace-go = Replace the key
access-keys-lost = A key was lost
access-keys-lost-when = When somebody else may have the key: a stolen computer, a copied folder, a repair.
access-keys-lost-1 = What it signed since that day is called a forgery, here and on your check page.
access-keys-lost-2 = What says it was signed before is called doubtful, unless this shop's own list has it: whoever has the key also sets the clock.
access-keys-lost-3 = If it's the key in use, the shop gets a new one now.
access-keys-lost-which = Which key
# $begins: the day from which on the key is valid
access-keys-lost-key = { $name }, { $digits }, since { $begins }
access-keys-lost-since = Last day it was certainly in your hands
access-keys-lost-understood = This can't be taken back.
access-keys-lost-go = Declare it lost
access-keys-own-lost = this shop's own, lost since { $date }
access-keys-certificate = Certificate
access-keys-certificate-of = Certificate for { $name }
access-keys-known = Signers we know
access-keys-known-what = When you check a PDF, their signatures count as known, and nobody else can sign under their names unnoticed.
access-keys-since = Known since
access-keys-own-replaced = this shop's own, replaced
access-keys-own-backup = this shop's own, from a backup
access-keys-known-as = signs as { $name }
access-keys-remove = Remove signer
# Read out after "Remove signer"
access-keys-remove-which = { $name }, { $digits }
access-keys-none = Nobody yet, apart from this shop's own keys.
access-keys-add = Add a signer
access-keys-add-what = A certificate (PEM or DER), or any report they signed. You compare its digits with them before it counts.
access-keys-file = Certificate or signed PDF
access-keys-look = Look at it
access-compare-head = Is this their certificate?
access-compare-back = Back to the keys
access-compare-what = Anybody can send a file. Ask the signer, by phone or in person, for the digits of their certificate. They must match.
access-compare-valid = SHA-256 of the certificate, valid { $begins } to { $ends }.
access-compare-name = Add this signer as
access-compare-go = Digits match: add this signer

# The certificate authority that phones trust
access-authority = The authority phones trust
access-authority-unused = Not in use: the server was started without `--lan`.
access-authority-next = It ends { $ends }. On { $when } the next one takes over, { $name }. Have every phone trust it before then: the app says so, and the page behind the code in the server's terminal shows how.
access-authority-name = Name
access-authority-told = { $begins } to { $ends }; phones are told 60 days ahead
access-authority-sha = SHA-256, as phones show it
access-authority-for = Can vouch for
access-authority-sites = websites at { $names }; nothing else
access-authority-next-sha = SHA-256 of the next one
access-authority-server = This server's certificate
access-authority-server-until = until { $ends }, renewed automatically; for { $names }
access-authority-download = Download the authority's certificate
access-authority-replace = Replace the authority
access-authority-replace-when = When somebody may have copied what's in `{ $folder }`, or when this computer has a new name. On the server, even while it runs:
access-authority-replace-what = The old key is overwritten and a new authority made. A phone can't send until it trusts the new one; nothing on it is lost. Then remove the old one from it: a copied key still counts where it's trusted. The first page leads through both.
access-authority-former = Remove these from phones
access-authority-until = Until
access-authority-none = There isn't one: this server was never started with `--lan`.

# Sharing a report
access-edition-condition = condition report (no prices)
access-edition-repaired = condition report after repair (no prices)
access-edition-partner = partner edition (with costs, hold-back, and price)
access-share-title = Share { $car }
access-share-head = Share the report: { $car }
access-share-back = Back to the car
access-share-made = Here's the link, shown only now. Send all of it:
access-share-link = A link for somebody without a sign-in
access-share-link-what = Anybody with the whole link can open this one file until the link expires or you close it. It opens nothing else.
access-share-for = Who it's for
access-share-edition = Edition
access-share-days-label = Expires after
access-share-days =
    { $count ->
        [one] { $count } day
       *[other] { $count } days
    }
access-share-make = Make the link
access-share-links = Links so far
access-share-column-for = For
access-share-column-made = Made
access-share-column-ends = Expires
access-share-column-opened = Opened
access-share-column-state = State
access-share-opened =
    { $count ->
        [one] { $count } time
       *[other] { $count } times
    }
access-share-close = Close the link
access-share-closed = closed
access-share-ended = expired
access-share-readers = Readers
access-share-reader = Reader
access-share-stop = Stop sharing
access-share-give = Share
access-shared-title = Shared with you
access-shared-head = Reports shared with you
access-shared-report = { $car }: { $edition }
access-shared-none = Nothing is shared with you right now. Ask an owner of the shop to share a report.
access-link-head = A report for you
access-link-what = Somebody who looked over a car shared a signed report with you. It's a PDF; any PDF program shows whether it was changed after signing.
access-link-key = Key in the link
access-link-go = Get the report
access-link-dead = This link doesn't open anything: it was closed, it expired, or part of it is missing. Ask whoever sent it for a new one.

# Erasing a person
access-erase-title = Erase a person
access-erase-head = Erase a person: { $car }
access-erase-this-car = this car
access-erase-back = Back to the car
access-erase-done =
    { $count ->
        [one] Erased { $count } value from the shop computer's database and photos. Every phone erases it when it next connects.
       *[other] Erased { $count } values from the shop computer's database and photos. Every phone erases them when it next connects.
    }
access-erase-what = Erasing deletes it for good: from the database, the pages, every report made from now on, and the phones. Only a hash is left, which nobody can read, so that chains and seals can still be checked. There's no undo.
access-erase-search = Look for another name, address, or number too
access-erase-search-go = Look
access-erase-search-help = Put commas between several. What you type here isn't saved anywhere.
access-erase-found = Found here
access-erase-value = **{ $place }**: { $what }
access-erase-value-unsure = **{ $place }**: { $what } **(you decide)**
access-erase-versions =
    { $count ->
        [one] { $count } version
       *[other] { $count } versions
    }
access-erase-photo-too = and the photo itself, not just its caption
access-erase-none = Nothing here that can be erased names the seller, an address, or a phone number.
access-erase-stays = Stays
access-erase-stays-what = These name the person too but can't be erased: a rating, a reading, an answer, or a signature stays, because the record rests on it.
access-erase-deleted = Deleted on a phone, still held here
access-erase-deleted-what = Photos and recordings that somebody took back after they were sent. No list, report, or export has them. They stay, in case it was a mistake, until you erase them here.
access-erase-others = Everything else that can be erased ({ $count })
access-erase-others-label = Everything else that can be erased
access-erase-with-photo = with the photo
access-erase-remains = Out of reach
access-erase-go = Erase what's checked, for good
# What was found
access-found-seller = the seller
access-found-place = the place
access-found-typed = what you searched for
access-found-number = the seller's phone number
access-found-mail = the seller's email address
access-found-name = the seller's name
access-found-address = the seller's address
access-found-name-word = a word of the seller's name
access-found-place-word = a word of the place
access-found-like-mail = looks like an email address
access-found-like-number = looks like a phone number
# What erasing cannot reach; each is followed by a list, where there is one
access-remains-backups = Backups made earlier still have everything. Restore one on this computer and it's erased again right away; restore it elsewhere and you have to erase again. Delete the ones you don't need. Known here:
access-remains-backups-none = Backups made earlier still have everything. Restore one on this computer and it's erased again right away; restore it elsewhere and you have to erase again. We don't know of any; there may be some.
access-remains-phones = A phone erases it when it next connects. Until then it's still there, and entries it hasn't sent yet may name the person again: look here once more after it connects. Still to come:
access-remains-revoked = A blocked phone never connects again, and keeps what it had:
access-remains-reports = A PDF you handed out can't be called back. Made from this car:
access-remains-reports-none = A PDF you handed out can't be called back. None were made here.
access-remains-copies = A database that a restore set aside still has everything. Delete it:
access-remains-files = A file waiting to be imported may have it. Decide about it first:
access-remains-phone = { $name }, last here { $when }
access-remains-phone-revoked = { $name }, blocked { $when }
access-remains-report-condition = report { $number }, condition report, { $day }
access-remains-report-repaired = report { $number }, condition report after repair, { $day }
access-remains-report-partner = report { $number }, partner edition, { $day }
access-remains-downloaded = downloaded { $when } by { $who }
access-remains-written = written { $when } by { $who }: { $file }
access-remains-file = { $file }, { $day }

# Backup
access-backup-damaged = Some of it is damaged
access-backup-damaged-what = A backup was tried, and this is damaged or missing. Everything else is fine and can be downloaded. `bradawl doctor` on the shop computer says what to do about each.
access-backup-more = … and { $count } more.
access-backup-anyway = Download the rest
access-backup-health = Is all well?
access-backup-proven = Last tested restore
access-backup-tested = Tested
access-backup-state = Data as of
access-backup-came-back = Came back
access-backup-entries =
    { $count ->
        [one] { $count } entry
       *[other] { $count } entries
    }
access-backup-photos =
    { $count ->
        [one] { $count } photo
       *[other] { $count } photos
    }
access-backup-counts = { $entries }, { $photos }
access-backup-faults = Damaged or missing
access-backup-nothing = nothing
access-backup-asked = Phones are asked to resend damaged and missing photos. For the rest, `bradawl doctor` on the shop computer says what to do.
access-backup-none = None yet. The first backup is made and tested a few minutes after the server starts.
access-backup-daily = Every day while the server runs, a backup is made and restored to a temporary place to see that it comes back. The newest { $kept } are kept in `{ $folder }`; each holds everything, photos too. On another disk they outlive this one: `BRADAWL_BACKUPS` names a folder there.
access-backup-next = The next is due { $when }.
access-backup-next-now = The next is due now.
access-backup-kept = Kept here
access-backup-made = Made
access-backup-file = File
access-backup-size = Size
access-backup-test = Test restore
access-backup-unfinished = Not finished
access-backup-count-damaged = { $count } damaged or missing
access-backup-whole = OK
access-backup-missing = Missing here
access-backup-missing-what = Other phones have seen entries that this computer doesn't have, as happens after a restore. They come back when the phone that wrote them next connects. If that phone is gone, they're lost.
access-backup-gap =
    { $count ->
        [one] **{ $name }**: { $count } entry, number { $from }
       *[other] **{ $name }**: { $count } entries, numbers { $from } to { $to }
    }
access-backup-missing-none = No phone has seen anything that's missing here.
access-backup-all = Everything you recorded, in one file
access-backup-all-what = Cars, photos, people, phones, and the audit trail. It has personal data: keep it where only you can reach it. The private keys aren't in it; copy the server's `keys` folder separately, and lock it up.
access-backup-download = Download a backup
access-backup-restore = To go back to this file, or one of those above: stop the server, then run `bradawl restore FILE --replace`.
access-backup-move = To move to another computer with keys and phones: stop the server, then run `bradawl move-out FILE`.

# The page on which a phone meets the shop. Words of phones' menus stand as iOS and Android say them.
access-meet-title = Bradawl: have this phone trust the shop
access-meet-head = Have this phone trust the shop
access-meet-why = Three minutes, once a year per phone. A phone runs an app without signal only from an address it trusts. This shop isn't on the internet, so no public authority vouches for it; it has its own, which can vouch for nothing but private names and addresses like this shop's.
access-meet-looking = Checking whether this phone already trusts the shop…
access-meet-go = Continue: test this phone
access-meet-fetch = 1. Get the certificate
access-meet-fetch-go = Get the certificate
access-meet-compare = It's called { $name }. Before you trust it, compare its SHA-256 fingerprint with the one { $where }. They must match:
access-meet-compare-terminal = in the server's terminal
access-meet-ios = 2. iPhone and iPad
access-meet-ios-1 = Use **Safari** for this page; other browsers only save the file. Tap **Allow**: “Profile Downloaded”.
access-meet-ios-2 = Open **Settings**; near the top is **Profile Downloaded**. (If not: General › VPN & Device Management.) Tap **Install**, enter the phone's passcode, and tap **Install** twice more. “More Details” shows the fingerprint.
access-meet-ios-3 = This one is easy to miss: **Settings › General › About**, all the way down to **Certificate Trust Settings**. Switch on { $name }.
access-meet-back = Come back to this page. It continues on its own.
access-meet-android = 2. Android
access-meet-android-1 = Tap “Get the certificate” above: the file goes to Downloads. Android doesn't install it from there by itself.
access-meet-android-2 = Open **Settings** and search for **CA certificate**. (Usually: Security & privacy › More security & privacy › Encryption & credentials › **Install a certificate** › **CA certificate**. On some phones: Security › Other security settings › Install from phone storage.)
access-meet-android-3 = Tap **Install anyway**, unlock, and choose the file you just got, { $file }. The phone needs a screen lock. **Trusted credentials › User** shows the fingerprint.
access-meet-android-4 = Come back to this page in **Chrome**. It continues on its own.
access-meet-computer = 2. A computer, for the desk
access-meet-computer-what = Import the file as a trusted authority for websites: in the browser's settings under Privacy and security › Certificates › Authorities, or in the system's key store (macOS: Keychain Access, “Always Trust”; Windows: “Trusted Root Certification Authorities”).
access-meet-former = Remove the old certificate
access-meet-former-what = This shop had another certificate before. A phone that met it then still trusts it, and would trust anybody who copied its key. Remove it from this phone:
access-meet-former-one = **{ $name }**, in use until { $day }
access-meet-former-print = Its fingerprint
access-meet-former-how = iPhone and iPad: **Settings › General › VPN & Device Management**, tap the profile with that name, **Remove Profile**. Android: search the settings for **Trusted credentials**, **User**, tap the name, **Remove**. If the name isn't on the phone's list, the phone never had it.
access-meet-undo = To undo this
access-meet-undo-what = Remove the profile (iPhone: General › VPN & Device Management) or the certificate (Android: Trusted credentials › User). Bradawl then opens with a warning again; what's on the phone stays.
# What the page's script says
access-meetjs-fetch-next = 1. Get the next certificate
access-meetjs-compare-next = under Keys at the desk, or in the server's terminal
access-meetjs-not-yet = Not yet: this phone doesn't trust the shop. Follow the steps below and come back.
access-meetjs-trusted = This phone trusts the shop.
access-meetjs-trusted-both = This phone trusts the shop, and the next certificate too.
access-meetjs-until = This phone trusts the shop until { $date }; then the next certificate takes over. Have the phone trust that one too, with the steps below: it won't notice the change.
access-meetjs-by-number = It reaches the shop by number only, so give the shop computer a fixed address in the router: if the number changes, the app can't find it anymore.
access-meetjs-remove = Now remove the old certificate: see below.

# The self-test of a phone
access-check-title = Bradawl: is this phone ready?
access-check-head = Is this phone ready?
access-check-what = Six things must be right before you're at a stranger's car with no signal. Whatever is missing says so.
access-check-reached = The shop is reached
access-check-trusted = The phone trusts it
access-check-offline = The app works without signal
access-check-kept = The phone keeps what you record
access-check-camera = The camera works
access-check-installed = Bradawl is on the home screen
access-check-looking = checking
access-check-camera-what = Tap, and allow it when the phone asks. Nothing is taken or sent.
access-check-camera-go = Try the camera
access-check-open = Open Bradawl
access-check-pair = Pair the phone in the app on the home screen: an iPhone keeps that app's data apart from Safari.
access-check-certificate = Certificate missing? { $link }.
access-check-certificate-again = Get it again
# What the page's script says
access-checkjs-open = open
access-checkjs-done = OK
access-checkjs-missing = missing
access-checkjs-sum = { $right } of { $total } are OK.
access-checkjs-sum-all = All six are OK: this phone is ready.
access-checkjs-reached-at = at { $host }
access-checkjs-reached-error = The shop computer answered with an error ({ $status }).
access-checkjs-reached-no = The shop computer doesn't answer. Is this phone on the shop's Wi-Fi?
access-checkjs-not-secure = This page isn't on an https address that the phone trusts.
access-checkjs-needs-trust = That needs a trusted address first.
access-checkjs-cannot-say = This browser can't tell.
access-checkjs-no-workers = This browser, or its private mode, can't store apps. Use Safari or Chrome, not a private tab.
access-checkjs-trusted-fully = the connection is trusted, no warning
access-checkjs-trusted = the connection is trusted
access-checkjs-not-stored-room = The app couldn't be saved on the phone. Is it full? Reload this page.
access-checkjs-stored = the app is saved on the phone
access-checkjs-skipped = The warning was only skipped. Install the certificate and switch on its trust.
access-checkjs-skipped-offline = A phone saves an app only from an address it trusts.
access-checkjs-not-stored = The app couldn't be saved: { $why }
access-checkjs-kept-no = This browser can't promise that. Put the app on the home screen and send often.
access-checkjs-kept-room = { $room } MB free for it
access-checkjs-kept-not-yet = Not promised yet ({ $room } MB free for it). Phones promise it to an app on the home screen that gets used; until then, send what you record the same day.
access-checkjs-camera-yes = allowed
access-checkjs-camera-none = This device has no camera.
access-checkjs-camera-no = Not allowed. Allow the camera for this address in the browser's settings; you can also pick photos from the gallery.
access-checkjs-installed = opened from the home screen
access-checkjs-install-apple = Open Bradawl below in Safari, tap Share (newer systems hide it behind ⋯), then “Add to Home Screen”; leave “Open as Web App” switched on. Open it from there; this test is there too, on its Pair screen.
access-checkjs-install-other = Open Bradawl below, then choose “Install app” or “Add to home screen” in the browser's menu (⋮). Open it from there; this test is there too, on its Pair screen.
access-checkjs-later = You can try this once the shop is reached.

# Errors
access-pair-again = This phone isn't paired with this shop computer. Everything on it is safe; pair it again and it sends.
access-sign-in-first = Sign in at the desk first; nothing was changed.
access-not-shared = This wasn't shared with you.
access-owners-only = Only an owner can do this.
access-unknown-host = This server doesn't answer to that name. Use an address it printed when it started.
access-other-site = This request came from another website and wasn't carried out.
# $size is a number with KB or MB
access-too-large = That's more than the { $size } you can send here at once.
access-size-mb = { $count } MB
access-size-kb = { $count } KB
access-wait-seconds =
    { $count ->
        [one] Too many tries. Try again in { $count } second.
       *[other] Too many tries. Try again in { $count } seconds.
    }
access-wait-minutes =
    { $count ->
        [one] Too many tries. Try again in { $count } minute.
       *[other] Too many tries. Try again in { $count } minutes.
    }
access-wait-earlier = Your earlier tries are still being checked. Try again in a moment.
access-wait-crowd = Too many people are trying to get in right now. Try again in a moment.
access-wait-phones = Too many phones are waiting to be paired. Try again in five minutes.
access-key-fault = This phone can't be paired. { $why }
access-key-other = This phone can't be paired: its ID belongs to another key than the one it sent.
access-key-unsigned = This phone can't be paired: it didn't sign for its ID, so the ID may be another phone's.
access-unknown-phone = No phone with that ID was ever paired.
access-phone-name = A phone's name needs 1 to { $most } letters.
access-device-desk = { $name }, at the desk
access-device-unknown = Device { $id }
access-code-unknown = No waiting phone shows this code. Check the phone and type it again.
access-code-closed = Five wrong codes: every waiting phone has been turned away. Have the phone ask again and type its new code.
access-tick-known = We know this phone. Check what it says about that first; nothing was changed.
access-tick-moves = This phone belongs to { $person }. Choose them, or check that it's changing hands; nothing was changed.
access-late = The phone isn't waiting anymore: its five minutes are up. Have it ask again.
access-late-approved = This phone was just approved; there's nothing more to do.
access-late-done = This phone was just approved and has its pairing; there's nothing more to do.
access-late-refused = This phone was just refused. To let it in, have it ask again.
access-decision = Approve or refuse: the form said neither.
access-reader-phone = A reader can't have a phone; choose somebody else.
access-kept-form = You're signed in again. What you typed is back in its fields and not saved yet: look it over, then press the button.
access-kept-form-files = Files have to be chosen again.
access-kept-form-waits = You were signed out before it was saved. Nothing was changed, and what you typed is kept for half an hour: sign in here to get it back.
access-wrong-passphrase = Name and passphrase don't match.
access-not-yours = That isn't your passphrase.
access-unknown-invitation = This one-time code is wrong, already used, or more than a day old. `bradawl invite` on the shop computer prints a new one.
access-passphrase-differ = The two passphrases don't match; type the same one twice.
access-passphrase-short = A passphrase needs at least { $least } characters; four or five words work well.
access-passphrase-long = A passphrase can have at most { $most } characters.
access-passphrase-obvious = That passphrase is one of the first anybody would try; use several words.
access-passphrase-name = That passphrase is little more than a name; add other words.
access-unknown-role = Choose owner, inspector, or reader.
access-unknown-person = Nobody here has that ID.
access-blocked = { $name } is blocked; add a new person.
access-last-owner = { $name } is the only owner; make somebody else an owner first.
access-bad-name = A name needs 1 to 60 letters.
access-name-taken = Somebody here is already called { $name }; add a last name.
access-bad-edition = Choose condition or partner.
access-bad-days = Choose how long the link lasts: { $days } days.
access-bad-label = Say who the link is for, in 1 to 60 letters.
access-unknown-link = There's no such link.
access-only-readers = You can share single reports only with a reader.
access-unknown-visit = This shop computer has no car with this ID.
access-nothing-checked = Nothing was checked; nothing was changed.
access-unknown-path = This car has no entry “{ $path }” to erase.
access-unknown-signer = No signer here has that certificate.
access-key-understood = Check the box first: the old key is gone after that.

# The data folder: other users of the computer must not read it. $more counts further files
access-private-shared = { $folder } is a folder others use too, so its permissions were left alone. Give Bradawl a folder of its own: BRADAWL_DATA names it.
access-private-read-only = { $more ->
    [0] Other users of this computer can read { $file } (mode { $mode }): the file system is read-only.
    [one] Other users of this computer can read { $file } (mode { $mode }) and { $more } more: the file system is read-only.
   *[other] Other users of this computer can read { $file } (mode { $mode }) and { $more } more: the file system is read-only.
    } Make it writable (mount -o remount,rw) and start again, or copy the folder to one that is and name that in BRADAWL_DATA.
access-private-owner = { $more ->
    [0] Other users of this computer can read { $file } (mode { $mode }).
    [one] Other users of this computer can read { $file } (mode { $mode }) and { $more } more.
   *[other] Other users of this computer can read { $file } (mode { $mode }) and { $more } more.
    } It belongs to { $owner }, but Bradawl runs as { $us }. Run it as the owner, or make the folder its own: sudo chown -R { $us } { $folder }
access-private-other = { $more ->
    [0] Other users of this computer can read { $file } (mode { $mode }).
    [one] Other users of this computer can read { $file } (mode { $mode }) and { $more } more.
   *[other] Other users of this computer can read { $file } (mode { $mode }) and { $more } more.
    } The file system doesn't keep permissions. Name a folder on a disk of this computer in BRADAWL_DATA, or keep other users away from it.

# What the terminal of `bradawl serve --lan` shows; "the address above" is a code to scan
access-greeting-phone = Start a phone here:  { $address }
access-greeting-desk = Desk and phone app:  { $address }
access-greeting-print = The certificate the phone installs must have this SHA-256 fingerprint:
access-greeting-ends = It ends { $day }; phones are told weeks ahead.
access-greeting-former = Phones that trusted “{ $name }” until { $day } should remove it; the first page says how.
access-greeting-renamed = This computer is now called { $name }, but its authority was made under another name: phones reach it by number only. `bradawl authority replace` makes one for the new name, which every phone then has to trust.
access-authority-took-over = The authority “{ $old }” has reached its end, and “{ $new }” has taken over. Phones that already trust it won't notice; the address above helps every other phone.
access-authority-made = “{ $name }” was made in its place: every phone has to trust it, and the address above shows how. Nothing on the phones is lost.
access-authority-wide = The authority “{ $name }”, which phones trusted until now, could vouch for more than this shop. Its key was overwritten, and phones should remove it.
access-authority-ended = The authority “{ $name }” ended { $day }.
access-authority-damaged = The key of the authority “{ $name }” is missing or damaged.
access-authority-next-said = The authority phones trust ends { $ends }. The next one, “{ $name }”, takes over { $day }: have every phone trust it before then, at the address above. The app says so too.

# ---- Letterhead and check page -----------------------------------------------------------------
access-letterhead-what = Every report carries this on its first page, and so does the check page. What you leave empty isn't printed.
access-letterhead-name = Name of the shop
access-letterhead-address = Address
access-letterhead-phone = Phone
access-letterhead-web = Web
access-letterhead-web-hint = shop.example
access-letterhead-check = Address of your check page
access-letterhead-check-hint = If strangers can reach it: https://shop.example/check. The code on the paper leads there.
access-letterhead-keep = Keep it
# $given: what was typed
access-letterhead-web-wrong = "{ $given }" isn't a web address. Write it like shop.example or https://shop.example/cars.
access-letterhead-check-wrong = "{ $given }" isn't an address that begins with https. Write it like https://shop.example/check.
access-check-page = Check page for strangers
access-check-page-what = One file in which your keys, your letterhead, the judge, and the checklist are built in. Whoever has it checks a report alone, without a network. Hand it along, or put it on your web site; after you replace a key, make it again.
access-check-page-open = Open it
access-check-page-download = Download it

# The first run at the desk: five questions, and cars to play with
access-welcome = Set up the shop
access-welcome-what = Five questions, each of which can be skipped. You find them again here.
access-welcome-begin = Begin
access-welcome-go-on = Go on with the next question
access-welcome-count = Question { $number } of { $of }.
access-welcome-all = All questions
access-welcome-keep = Keep and go on
access-welcome-skip = Skip
access-welcome-skip-what = Nothing changes; it can be answered later.
access-welcome-skipped = Skipped
access-welcome-not-asked = Not answered yet
access-welcome-unwritten = The answer can't be kept. { $why }
access-welcome-shop = The shop's name
access-welcome-shop-why = It stands at the head of each report. Whatever is empty isn't printed.
access-welcome-place = Where the shop is
access-welcome-place-why = It sets units, money, dates, and paper, until a phone or a person chooses others.
access-welcome-place-legend = Where the shop is
access-welcome-place-one = Choose one of the two.
access-welcome-place-us = United States
access-welcome-place-units-us = Miles, 32nds of an inch, psi, °F; dollars; Letter paper
access-welcome-place-eu = Europe
access-welcome-place-units-eu = Kilometers, millimeters, bar, °C; euros; A4 paper
access-welcome-place-fixed = BRADAWL_REGION decides this on this computer. Unset it to choose here.
access-welcome-passphrase = A passphrase for the desk
access-welcome-passphrase-why = Without one, whoever uses this computer is at your desk, and no phone can come in from the shop's Wi-Fi.
access-welcome-passphrase-set = Set
access-welcome-passphrase-there = The desk has a passphrase. To change it, or to invite somebody:
access-welcome-backup = Where backups go
access-welcome-backup-why = Every day everything is written to one file and tested by a restore. On another disk, it outlives this one.
access-welcome-backup-legend = Where to
access-welcome-backup-present = As now
access-welcome-backup-disk = The disk { $disk }, { $free } free
access-welcome-backup-typed = Or another folder
access-welcome-backup-hint = Its whole path, such as /media/me/Blue stick/Bradawl
access-welcome-backup-fixed = BRADAWL_BACKUPS decides this on this computer. Unset it to choose here.
access-welcome-backup-whole = “{ $given }” isn't a whole path: it begins with a slash, such as /media/me/Blue stick/Bradawl.
access-welcome-backup-made = The folder { $folder } can't be made: { $why }. Choose one that you may write to.
access-welcome-backup-closed = Nothing can be written to { $folder }. Choose a folder that you may write to.
access-welcome-phone = A phone
access-welcome-phone-why = The phone looks the car over without a signal and sends everything here when it is back on the shop's Wi-Fi.
access-welcome-phone-wifi = Put the phone on the shop's Wi-Fi.
access-welcome-phone-scan = Point its camera at this code, or type the address into its browser:
access-welcome-phone-compare = Before it trusts this computer, the phone shows this fingerprint. It has to be the same:
access-welcome-phone-trust = Follow the pages there: they lead the phone through trusting this computer, then open the app.
access-welcome-phone-code = Type the phone's code here and approve it
access-welcome-phone-proxy = Open this desk's address with /app/ on the phone, and approve it here:
access-welcome-phone-network = Phones on the shop's Wi-Fi may reach this computer
access-welcome-phone-network-what = Over an encrypted connection; nobody is let in whom you didn't approve. It holds from the next start on.
access-welcome-phone-restart = Close Bradawl where you started it (Ctrl+C), and start it again: this page then shows the code for the phone.
access-welcome-phone-passphrase = The desk needs a passphrase before phones may reach it.
access-welcome-phone-first = First the desk needs a passphrase:
access-welcome-next = What now?
access-welcome-next-phone = Set up a phone, then look a car over with it
access-welcome-next-look = Look a car over with your phone; it comes to the list of cars by itself
access-welcome-next-app = Try the phone app here on this computer
access-welcome-next-cars = See the cars
access-welcome-sample = Cars to play with
access-welcome-sample-what = Three invented cars, looked over, priced, and planned, in a shop of their own beside yours: nothing you do there gets into your lists, sums, or report numbers.
access-welcome-sample-load = Get the sample cars
access-welcome-sample-again = Start the sample again
access-welcome-sample-wait = The sample is being made ready. It takes some seconds.
access-welcome-sample-open = Open the sample
access-welcome-sample-remove = Remove the sample
access-welcome-sample-failed = The sample can't be made ready: { $why }
access-welcome-sample-elsewhere = The sample can be played with on the shop computer itself.
access-act-place-of-backups-chosen = chose where backups go
## The three ways to get the app onto a phone

access-ways-title = Three ways to get the app onto a phone
access-ways-link = Which way suits you? Three ways, each with its price
access-ways-intro = The app works without a signal whichever way it came. The ways differ in how it gets onto the phone, and how the desk gets what the phone recorded.
access-ways-wifi = On the shop's Wi-Fi
access-ways-wifi-what = This computer answers in your own network; nothing goes over the internet. The phone sends by itself whenever it's on that Wi-Fi.
access-ways-wifi-price = Price: each phone has to trust a certificate of yours, in its settings: three minutes once a year, and the phone says in stern words what that means. Sending works only in the shop.
access-ways-wifi-begin = Begin at Set up the shop: it lets phones in, shows a code to scan, and the page behind it leads through the phone's settings.
access-ways-name = Through a name of your own
access-ways-name-what = A web server of yours answers at a name with a certificate that every phone trusts, and passes on to Bradawl. The phone sends by itself from anywhere.
access-ways-name-price = Price: a name that you pay for, a web server that you keep up to date, and a sign-in page that the whole internet can knock at. Nothing has to be set on the phone.
access-ways-name-begin = Begin with: bradawl serve --proxy, behind a web server that does the https.
access-ways-alone = Without any server
access-ways-alone-what = The app lies as plain files on any https host. The phone inspects, judges, locks and shares by itself. What it recorded goes into one signed file that you bring to the desk.
access-ways-alone-price = Price: nothing is sent by itself. Until you hand over, all there is lies on that phone alone; nobody looks at the same car from a second phone; reports are made at the desk only. New checklists reach the phone when you put the files up again.
access-ways-alone-begin = Begin with: bradawl phone-app FOLDER, and put that folder on the host.
access-ways-picture-wifi = A phone and a computer under one roof, joined by radio waves
access-ways-picture-name = A phone, joined over a globe to a computer
access-ways-picture-alone = A phone, a file with a seal, and a computer, with arrows from one to the next
access-ways-install = Onto the home screen, whichever way
access-ways-install-why = From there it has the whole screen, and the phone keeps what it recorded: a browser may clear a plain page after weeks without use.
access-ways-install-ios = iPhone and iPad, in Safari: tap the square with the arrow at the foot, then Add to Home Screen.
access-ways-install-android = Android, in Chrome: tap the three dots at the top, then Add to Home screen, Install.
access-ways-trust = Trusting the certificate, on the shop's Wi-Fi only
access-ways-trust-ios = iPhone and iPad: Settings, General, About, Certificate Trust Settings, after the profile was installed. The switch at the end is easy to miss.
access-ways-trust-android = Android: in Settings, search for CA certificate, then choose the file from Downloads.
access-ways-tried = Tried with the engines Chromium and WebKit on Linux. No real phone has been tried yet, neither an iPhone nor one with Android: their menus are described from memory and may read a little differently.
