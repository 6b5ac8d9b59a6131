# The commands of `bradawl`: help, what they print. Names of commands and options stay.

cli-about = Look over an older car on the spot, rate it, and sign the report.
cli-commands = commands
# A name to type, in capitals as the help shows it
cli-arg-name = NAME

cli-invite = print a one-time code for setting a passphrase
cli-invite-name = person to invite (default: owner)
cli-invite-unknown = Nobody here is called “{ $name }”. There's { $names }.
cli-invite-nobody = Nobody here is called “{ $name }”; there's nobody yet.
cli-invite-made = For { $name }, once, within a day. Open this server's address followed by:

cli-authority = the certificate authority that phones trust with `serve --lan`: show or replace it
cli-authority-show = its name, what it can vouch for, when it ends
cli-authority-replace = make a new one now: when its key may have been copied, or this computer has a new name
cli-authority-replace-what = Overwrites the old key and makes a new authority, even while the server runs. Every phone has to trust the new one before it can send again; nothing on it is lost.
cli-authority-valid = { $name }, { $begins } to { $ends }
cli-authority-sites = Vouches for websites at { $names }; nothing else.
cli-authority-server = This server's own certificate ends { $ends }; it's for { $names }.
cli-authority-next = Next, from { $day }: { $name }
cli-authority-former = Until { $day }, remove from phones: { $name }
cli-authority-new = The authority is now “{ $name }”, until { $day }. Its SHA-256 fingerprint:
cli-authority-taken-up = A running server picks it up within a minute and shows in its terminal the code that takes phones to the first page; otherwise `bradawl serve --lan` does.
cli-authority-phones = Every phone: open that page, trust the new certificate, and remove “{ $former }”. Until then it can't send; nothing on it is lost.
cli-authority-phones-unnamed = Every phone: open that page, trust the new certificate, and remove the old one. Until then it can't send; nothing on it is lost.
cli-authority-copied = The old key was overwritten here. Whoever copied it can still pose as this shop to phones that haven't removed the old certificate, but to no others.
cli-authority-none = There's no authority in { $folder }: `bradawl serve --lan` makes one.
cli-authority-no-trail = Couldn't write to the audit trail: { $why }

# Words to type, in capitals as the help shows them
cli-arg-car = CAR
cli-arg-text = TEXT
cli-arg-path = PATH
cli-arg-file = FILE

cli-car = the car's ID, or how it begins
cli-car-many = More than one car here begins with “{ $begins }”. The desk lists them all.
cli-car-none = No car here begins with “{ $begins }”. The desk lists them all.

cli-forget = erase what names a seller: name, address, phone number
cli-forget-what = Deletes the values from the database, the photos, and every phone when it next connects; hashes and signatures stay valid. There's no undo. Ends with 0 when everything found and decided is erased, 1 when nothing was changed.
cli-forget-name = another name, address, or number to look for
cli-forget-also = another entry to erase, all of it: such as items/papers.receipts/note, or a photo's path, with the photo
cli-forget-keep = an entry that was found but names nobody
cli-forget-yes = don't ask; refuses while an entry that may name somebody is undecided
cli-forget-nothing = There's nothing left to erase here.
# $word is what has to be typed: cli-forget-word
cli-forget-sure = There's no undo. Type “{ $word }” to go ahead:{" "}
cli-forget-word = erase
cli-forget-unchanged = Nothing was changed.
cli-forget-erase = To erase: { $what } ({ $path }): { $text }
cli-forget-erase-photo = To erase: { $what }, with the photo ({ $path }): { $text }
cli-forget-erase-caption = To erase: { $what }; the photo stays, without its caption ({ $path }): { $text }
cli-forget-stays = Stays, the record rests on it: { $what } ({ $path }): { $text }
cli-forget-chosen = your choice
cli-forget-undecided = Nothing was erased: these may name somebody, and you have to decide.
cli-forget-undecided-one = { $what } ({ $path }): { $text }
cli-forget-decide = {"    "}--also { $path }  or  --keep { $path }
cli-forget-perhaps = Maybe: { $what } ({ $path }): { $text }
cli-forget-too = Erase it too? ({ $yes }/n){" "}
# The letter that means yes
cli-forget-yes-letter = y
cli-forget-remains = Out of reach:
