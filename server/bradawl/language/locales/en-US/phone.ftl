# The phone app: short warm words, read at arm's length with dirty hands. American English.
# "Check" (noun) is one thing of the list that is looked at. "Shop computer" is the server.

phone-app = Bradawl
# the browser's title of a page
phone-title = { $screen } · Bradawl
phone-back = Back
phone-close = Close
phone-change = Change
phone-undo = Undo
phone-undone = Undone.
# The one control at the foot of every screen: photo, recording, note
phone-capture = Capture

# in place of a rating that is being worked out
phone-grade-checking = Checking…

# the line at the top of every screen
phone-sync-phone = Saved on this phone
phone-sync-unsent = Saved on this phone · { $count } to send
# $age: how long the oldest of it has waited, such as "3 days"
phone-sync-old = Saved on this phone · { $count } to send, waiting { $age }
phone-sync-sending = Sending { $number } of { $total }
phone-sync-server = All sent
phone-sync-issue-pair = Pair this phone to send
phone-sync-issue-app-too-old = Update this app to send
phone-sync-issue-server-too-old = The shop computer needs an update
phone-sync-issue-entry = An entry was turned down. Tap to see.
phone-sync-issue-server = The shop computer can't take it now. Tap to see.
phone-sync-issue-batch = Something arrived damaged. Tap to see.
phone-sync-issue-phone = This phone couldn't send. Tap to see.
phone-sync-issue-photo = A photo was turned down. Tap to see.

# how long ago, or how far off
phone-time-moment = less than a minute
phone-time-minutes = { $count } min
phone-time-hours =
    { $count ->
        [one] 1 hour
       *[other] { $count } hours
    }
phone-time-days =
    { $count ->
        [one] 1 day
       *[other] { $count } days
    }
phone-size-mb = { $size } MB
phone-size-gb = { $size } GB

phone-cars-title = Cars
phone-cars-start = Start a car
phone-cars-none = No cars yet. Tap “Start a car” when you're at the car. No signal needed.
phone-cars-unnamed = Unnamed car
phone-cars-compare = Compare cars
phone-cars-started = Started { $date }
phone-cars-signed = Locked
# how many checks have no answer
phone-cars-open = { $count } open
phone-cars-empty = Nothing recorded yet

# what is out of the list of cars: renamed, archived, deleted
phone-shelf-title = Rename or put away
phone-shelf-away = Archived and deleted
phone-shelf-away-count = Archived and deleted ({ $count })
phone-shelf-none = Nothing here.
phone-shelf-name = Name in the list
phone-shelf-name-hint = Instead of make, model, and year. The report keeps those.
phone-shelf-archived = Archived
phone-shelf-archived-means = Out of the list, on every phone and at the desk.
phone-shelf-deleted = Deleted
phone-shelf-deleted-means = Nothing is lost: it waits under “Archived and deleted”. If someone records more, it comes back by itself.
phone-shelf-archive = Archive
phone-shelf-delete = Delete
phone-shelf-restore = Restore
phone-shelf-restored = Back in the list.
phone-shelf-signed = A locked look-over can't be deleted: whoever has its report must be able to check it. Archive it instead.

phone-cars-no-checklists = This phone doesn't have the checklists yet. Open Bradawl once with a signal, or near the shop computer.

phone-update-ready = A new version of Bradawl is ready.
phone-update-take = Update now

phone-guide-title = First look
phone-guide-offer = First look: two minutes
phone-guide-done = Got it
phone-guide-intro = Walk around the car, answer what you see, skip the rest. It all works without a signal.
phone-guide-marks = The marks
phone-guide-open = No answer yet.
phone-guide-ok = Looked at, no fault.
phone-guide-minor = Wear or a small fault. Bargain with it.
phone-guide-major = Fix it before everyday use.
phone-guide-unsafe = Someone could get hurt. It tells you what to do now.
phone-guide-unchecked = Skipped, with a reason. It counts as unknown, never as OK.
phone-guide-sync = The line at the top
phone-guide-phone = Nothing is lost, even if the phone dies now.
phone-guide-sending = On its way to the shop computer. Keep working.
phone-guide-server = The shop computer has it all.
phone-guide-answers = What Decide tells you
phone-guide-buy = Buy it, up to how much, or walk. Or: haven't seen enough.
phone-guide-drive = Drive it home, drive it easy, or trailer it.
phone-guide-price = The most it's worth to you, with what wasn't checked set aside.
phone-guide-now = What to check next in the minutes left.

phone-facts-title = The car
phone-facts-more = More about this car
phone-facts-hint = Fill in what you know. Skip the rest.
phone-facts-make = Make
phone-facts-model = Model
phone-facts-year = Year
phone-facts-year-bad = A year has four digits, like 1994.
phone-facts-registration = Plate
phone-facts-vin = VIN
phone-facts-color = Color
phone-facts-odometer = Odometer
phone-facts-place = Where the car is
phone-facts-seller = Seller
phone-facts-inspector = Your name
phone-facts-currency = Currency
phone-facts-cylinders = Cylinders
# a field's label with the money it is in, such as "Asking price (USD)"

phone-facts-price = Asking price
phone-facts-value = Value when done
phone-facts-rate = Labor rate per hour
phone-facts-margin = Cushion
phone-facts-distance = How far home
phone-facts-uses = What it's for
phone-facts-depth = How thorough
phone-facts-depth-usual = Usual, about an hour
phone-facts-depth-thorough = Thorough
phone-facts-conditions = Today
phone-facts-dark = Dark
phone-facts-wet = Wet
phone-facts-motorway = Highway on the way home
phone-facts-yes = yes
phone-facts-no = no
phone-facts-walk = Start the walk-around

# what the car has; each with its answers
phone-profile-title = Figures of this car
phone-profile-hint = From the manual, a sticker or a stamp. With them checks are rated by what the maker says; without, some can't be called OK.
# $known of $all facts of a group are filled in
phone-profile-count = { $known } of { $all }
phone-model-label = What the shop knows of this model
# $name: make, model and years
phone-model-known = Started with the shop's figures for { $name }.
phone-model-taken = Taken from the shop: { $name }
phone-model-look = Look here first
phone-model-decline = It's another model
phone-model-declined = Left out: { $name }
phone-figure-where = Read where?
# $title: "Set pressure"
phone-figure-where-of = { $title }: read where?
# $model: make, model and years
phone-figure-model = From the shop's figures for { $model }. Read where?
phone-figure-manual = Manual
phone-figure-sticker = Sticker
phone-figure-part = On the part
phone-figure-practice = Word or practice
phone-figure-enter = Enter it

phone-walk-title = Walk-around
phone-walk-open = { $count } open
# all of it OK; $count: how many of them by eye, for want of this car's own figure
phone-walk-eye = OK, { $count } by eye
phone-walk-facts = The car
phone-walk-decide = Decide
# $tools: tools by name
phone-item-left-at-home = Left at home: { $tools }
phone-walk-going = Before you go
phone-walk-purpose = Must-haves
# $count: open checks on which a must-have or a reason to leave hangs
phone-walk-wanted = { $count } for what you want
phone-walk-ad = Ad and claims
phone-walk-map = Body map
phone-walk-trouble = Find a cause
phone-to-sort = To sort: { $count }
phone-walk-sign = Lock it
phone-walk-beside = More about this car
phone-walk-in-order = In walking order
phone-walk-by-area = By area
# $title: the check or the page that comes next
phone-walk-next = Next: { $title }
phone-walk-all-done = All answered. Lock it
phone-walk-signed = Locked. Go to Decide
phone-walk-sign-again =
    { $count ->
        [one] Lock again (1 change)
       *[other] Lock again ({ $count } changes)
    }
phone-walk-opening = Opening…
# checks that fit the car and that this visit doesn't ask for
phone-walk-more = More checks for this car: { $count }
phone-walk-optional = If you have time
phone-walk-nothing-here = Nothing to check here on this car.

# search and lists
phone-find = Find a check
phone-find-title = Find
phone-find-field = Search checks, notes, facts
phone-find-loading = Looking…
# what the list is narrowed to; $count: how many checks that would leave
phone-find-chip = { $title } · { $count }
phone-find-shows = Show
phone-find-disputed = In dispute
phone-find-mine = From this phone
phone-find-unasked = Not asked yet
phone-find-all = All
phone-find-safety = Safety
phone-find-area = Area
phone-find-any-area = Every area
phone-find-stage = Step of the walk
phone-find-any-stage = Every step
phone-find-none = Nothing found. Try fewer letters, or show all.
phone-find-none-left = Nothing left here.
phone-find-count =
    { $count ->
        [one] 1 check
       *[other] { $count } checks
    }
# beside a check that this visit doesn't ask for; a tap has it asked
phone-find-add = Add
phone-find-unfit = Not on this car
phone-find-fact = The car
phone-find-own = Something else
phone-find-step = Step of the walk
# a place where something typed was found: "Note: both sides"
phone-find-typed = { $title }: { $text }

# one tap that answers the rest of a part
phone-rest-button = Mark the other { $count } OK
phone-rest-kept =
    { $count ->
        [one] 1 check stays open: it's about safety.
       *[other] { $count } checks stay open: they're about safety.
    }
# work of which the seller shows nothing
phone-rest-unproved = No receipt for the other { $count }
phone-rest-unproved-said =
    { $count ->
        [one] 1 service without a receipt.
       *[other] { $count } services without a receipt.
    }
phone-rest-said =
    { $count ->
        [one] 1 check marked OK.
       *[other] { $count } checks marked OK.
    }
# recorded with each of them

phone-item-how = How
phone-item-where = Where
phone-item-less = Less
phone-item-details = Note, photo, how
# takes every answer of a check back; photos and note stay
phone-item-clear = Clear answer
# $title: one caution, or several in a list
phone-item-caution = Caution: { $title }
phone-item-note = Note
phone-item-text = What it says
phone-item-why-not = Why not?
phone-item-why-over = Your rating differs from the measured one. Why?
phone-item-why-else = Another reason
phone-item-whys = What did you see?
phone-item-overruled = Your rating counts. Measured: { $grade }
phone-item-question = Open question
phone-item-both-right = Change one of them. Or both are right, because:
phone-item-do-now = Unsafe. Do this now:
phone-item-source = Source: { $title }
phone-item-source-section = Source: { $title }, { $section }
phone-item-more-facts =
    { $count ->
        [one] 1 more figure
       *[other] { $count } more figures
    }
# what was recorded last, at the foot of the screen
phone-item-recorded = { $title }: { $answer }.
phone-item-nothing = cleared
# a rating with its reason
phone-item-grade-why = { $grade }, { $why }
phone-item-otherwise = Change the rating
phone-wires = Wires
phone-wires-of = Wires: { $title }
phone-wires-bunch = Add a bunch. The worst of it is:
phone-wires-one = Add one wire. It is:
phone-wires-elsewhere = Somewhere else
phone-wires-thinnest = Thinnest
phone-wires-worst = The worst of it
phone-wires-other = Something else
phone-wires-done = Done
phone-wires-take-back = Take back
phone-wires-sources = Where these figures come from
phone-wires-careful = The harness figure is for aircraft wire, packed tight and hot: careful for a car. A size between two counts as the thinner one.
phone-item-anyway = Answer anyway
phone-item-grade = Rating: { $title }
phone-item-choice = Answer: { $title }

phone-reading-many = Type readings ({ $done } of { $all })
# a reading and where on the car it is taken: "Pad remaining, front left"
phone-reading-at = { $reading }, { $place }
phone-reading-unit = Unit: { $unit }. Change
phone-reading-step-down = Less: { $name }
phone-reading-step-up = More: { $name }
phone-reading-none = Gauge reads nothing
phone-reading-open = Open circuit
phone-reading-plastic = Plastic
phone-reading-aluminum = Aluminum
phone-reading-absent = No such panel
# the unit of tread depth, alone
phone-unit-in-32 = 1/32 in

phone-photo-title = Photos
phone-photo-camera = Photo
phone-photo-file = From a file
phone-photo-preparing = Preparing the photo…
phone-photo-finder = Camera view
phone-photo-shoot = Take it
phone-photo-remove = Remove photo
phone-photo-removed = removed
phone-photo-alt = Photo { $number } of { $title }
phone-photo-no-preview = Saved. This phone can't show HEIC photos.
phone-photo-added = Photo saved on this phone.
phone-recording-kept = Recording saved on this phone.
phone-item-voice = Voice note
phone-photo-caption = Caption
phone-photo-draw = Draw on it
phone-photo-arrow = Arrow
phone-photo-circle = Circle
phone-photo-keep-drawn = Save as a new photo

phone-map-intro = Tap the car: paint, dents, photos, and every check at that place.
phone-map-view-left = Left side
phone-map-view-top = Top
phone-map-view-right = Right side
phone-map-list = All panels
phone-map-places = Other places
# words within the drawing: short
phone-map-word-engine-bay = engine
phone-map-word-cargo =
    { $style ->
        [pickup] bed
        [sedan] trunk
        [coupe] trunk
        [convertible] trunk
       *[other] cargo
    }
phone-map-word-underside-front = under front
phone-map-word-underside-middle = under mid
phone-map-word-underside-rear = under rear
phone-map-photos = Photos here
phone-map-checks-here = Checks here
# $count: checks at a place, $open: without an answer
phone-map-checks =
    { $count ->
        [one] 1 check, { $open } open
       *[other] { $count } checks, { $open } open
    }
phone-map-anywhere = All over the body ({ $count })
phone-trouble-not-loaded = This part could not be loaded. Get a signal once, or near the shop computer; then it works without a signal too.
phone-map-not-loaded = The drawing could not be loaded. Get a signal once, or near the shop computer, then try again.
phone-map-style-label = Body
phone-map-style-unknown = Drawn as a { $style } until you say what it is.
phone-map-style-known = Drawn as: { $style }
phone-map-style-change = Change
# What within a model's name says which body it is, by whole words; nothing is sure but these.
phone-style-words-sedan = sedan
phone-style-words-coupe = coupe, coupé
phone-style-words-hatchback = hatchback, hatch
phone-style-words-wagon = wagon
phone-style-words-convertible = convertible, cabriolet
phone-style-words-pickup = pickup
phone-style-words-van = van, minivan
phone-style-words-suv = SUV
phone-map-nothing = nothing yet
phone-map-over = { $measure } over this car's normal
phone-map-under = { $measure } under this car's normal
phone-map-finish-original = original paint
phone-map-finish-repainted = repainted
phone-map-finish-filler = filler
phone-map-finish-thin = thin paint
phone-map-finish-no-reading = no steel found
phone-map-marks = What's on this panel

phone-decide-title = Decide
phone-decide-ask-buy = Buy it?
phone-decide-ask-drive = Drive it?
phone-decide-ask-price = Top price?
phone-decide-ask-now = Now?
phone-decide-money = Money

phone-sign-title = Lock it
phone-sign-unsorted = Not sorted yet
phone-sign-signed = Locked by { $name } on { $date }.
phone-sign-after =
    { $count ->
        [one] 1 change since signing.
       *[other] { $count } changes since signing.
    }
phone-sign-receipt = Receipt for the seller or buyer
phone-sign-receipt-what = Let them photograph this code. With it anyone can tell later whether a report is of what was signed here and now.
phone-sign-receipt-code = Code with the digest of what was signed

phone-storage-title = Saved and sent
phone-storage-unsent = Not sent yet
phone-storage-amount =
    { $entries ->
        [one] 1 entry
       *[other] { $entries } entries
    }, { $photos ->
        [one] 1 photo
       *[other] { $photos } photos
    }
# $size: such as "12 MB"
phone-storage-amount-size =
    { $entries ->
        [one] 1 entry
       *[other] { $entries } entries
    }, { $photos ->
        [one] 1 photo
       *[other] { $photos } photos
    } ({ $size })
phone-storage-nothing = Nothing. The shop computer has it all.
phone-storage-oldest = Waiting for { $age }
phone-storage-last = Last contact with the shop computer: { $when }
phone-storage-last-never = No contact with the shop computer yet
phone-storage-now = Send now
phone-storage-lasting = Storage
phone-storage-lasting-yes = The browser promised to keep everything on this phone.
phone-storage-lasting-no = The browser may clear it when the phone fills up or after weeks without use. Send or hand over early. On an iPhone, add Bradawl to the home screen.
phone-storage-lasting-unknown = The browser doesn't say whether it keeps things for good.
phone-storage-ask = Ask the browser to keep it
phone-storage-space = Space left: { $size }
phone-storage-paired = Paired as “{ $name }”.
phone-storage-hand-over = Hand over as a file
phone-storage-save = Save unsent work to a file
phone-storage-saved = File saved. Keep it safe: the desk can import it.
phone-storage-look = Display
phone-storage-language = Language
phone-storage-language-auto = Match phone
phone-storage-theme = Theme
phone-storage-theme-auto = Match phone
phone-storage-theme-light = Light
phone-storage-theme-dark = Dark
phone-storage-theme-outdoor = Full sun
phone-storage-hand = Hand
phone-storage-hand-right = Right
phone-storage-hand-left = Left
phone-storage-photo-place = Location in photos
phone-storage-photo-place-drop = Remove
phone-storage-photo-place-note = Keep for this look-over
phone-storage-photo-place-hint = Photos are sent without GPS. Keep uses it as the car's location.
phone-storage-version = Version { $version }.
phone-storage-about = What's new, and licenses

# $time: how far the clock is off, such as "12 min"
phone-clock-ahead = This phone's clock is { $time } ahead of the shop computer's.
phone-clock-behind = This phone's clock is { $time } behind the shop computer's.
phone-clock-means = Set it right: dates and times come from it. Nothing is lost, and what was recorded keeps its order.

# the shop's certificate is replaced once a year; $name is what the phone's settings call it
phone-authority-next = The shop's certificate will be replaced on { $day }.
phone-authority-next-why = This phone trusts the shop computer by a certificate that lasts a year. Let it trust the next one, “{ $name }”, before that day. Otherwise it can record but not send. It takes three minutes on the shop's Wi-Fi.
phone-authority-guide = Show me how
phone-authority-guide-at = The steps are at { $page } (on an iPhone or iPad, open it in Safari).
phone-authority-next-done = When that page says this phone trusts the next certificate too:
phone-authority-trusted = This phone trusts it
phone-authority-due = The shop's certificate was due to be replaced on { $day }.
phone-authority-due-why = The shop computer hasn't answered this phone since. If it doesn't answer on the shop's Wi-Fi either, this phone doesn't trust the new certificate, “{ $name }”, yet. What you record stays on this phone until it does.
phone-authority-former = Remove the shop's old certificate from this phone.
phone-authority-former-why = “{ $name }” was in use until { $day }. This phone works with the new one. As long as it trusts the old one, anyone who copied its key could pose as the shop computer.
phone-authority-former-apple = iPhone and iPad: Settings › General › VPN & Device Management, tap the profile with that name, Remove Profile.
phone-authority-former-android = Android: search the settings for “Trusted credentials”, then User, tap the name, Remove.
phone-authority-former-never = If the phone doesn't list that name, it never had it.
phone-authority-removed = It's removed
phone-authority-help = In the shop, and still no answer? The shop computer's certificate may have been replaced. The page below tells whether this phone trusts the present one.

phone-issue-title = What needs you
phone-issue-again = Try again
phone-issue-app-old = This app is too old for the shop computer. Nothing on this phone is lost: update the app, and everything is sent.
phone-issue-app-update = Get the new version
phone-issue-app-none = No newer version is offered to this phone. Open Bradawl once near the shop computer. If this stays, update Bradawl there.
phone-issue-server-old = The shop computer's Bradawl is too old for this app. Nothing on this phone is lost: update it there, and everything is sent. Until then you can save it to a file.
phone-issue-entry = The shop computer turned down the entry “{ $what }”.
phone-issue-entry-kept = It and all that follows it stay on this phone.
phone-issue-entry-leave = Go on without this entry
phone-issue-entry-sure = Yes, leave it out for good
phone-issue-server = The shop computer said:
phone-issue-server-kept = Nothing on this phone is lost.
phone-issue-batch = Entries from another device didn't arrive whole and weren't kept. Everything else was exchanged.
phone-issue-phone = This phone stopped while it was sending:
phone-issue-restart = Restart Bradawl
phone-issue-photo-gone = A photo of a check that isn't on the list anymore
phone-issue-photo-of-car = Of “{ $name }”.
phone-issue-photo-take = Take it again
phone-issue-photo-drop = Drop this photo
phone-issue-photo-sure = Yes, drop it for good
phone-issue-keep = Keep it

# the browser deleted what was stored on the phone
phone-gone-title = Storage was cleared
phone-gone-what = The browser deleted what Bradawl had stored on this phone.
phone-gone-nothing = Everything had been sent: nothing is lost.
phone-gone-lost-entries =
    { $entries ->
        [one] Not sent yet: 1 entry.
       *[other] Not sent yet: { $entries } entries.
    }
phone-gone-lost-photos =
    { $photos ->
        [one] Not sent yet: 1 photo.
       *[other] Not sent yet: { $photos } photos.
    }
phone-gone-lost-both =
    Not sent yet: { $entries ->
        [one] 1 entry
       *[other] { $entries } entries
    } and { $photos ->
        [one] 1 photo
       *[other] { $photos } photos
    }.
phone-gone-here =
    { $count ->
        [one] 1 of these entries is still in this page's memory.
       *[other] { $count } of these entries are still in this page's memory.
    }
phone-gone-here-not = They are lost.
phone-gone-photos-lost = Photos that weren't sent are lost.
phone-gone-next = Go on: what was sent comes back by itself. This phone gets a new number, which the owner confirms at the desk.
phone-gone-again =
    { $count ->
        [one] Go on, and record that entry again
       *[other] Go on, and record those { $count } again
    }
phone-gone-without =
    { $count ->
        [one] Go on without it
       *[other] Go on without them
    }
phone-gone-on = Go on
phone-gone-returned = The browser had cleared this phone's storage.
phone-gone-returned-means = What was sent has come back. What wasn't is lost. This phone has a new number now, which the owner confirms at the desk.
phone-gone-read = I've read this

phone-old-title = Stored by Bradawl 0.1
phone-old-text = What's on this phone was stored by Bradawl 0.1. This version can't read it. Nothing was changed.
phone-old-sure = Clearing deletes everything that Bradawl 0.1 stored on this phone, photos too. It can't be undone.
phone-old-clear = Clear it and start over
phone-old-yes = Yes, delete it

phone-pair-title = Pair this phone
phone-pair-intro = Pairing lets this phone send what it holds. Nothing recorded is lost meanwhile.
phone-pair-name = Name of this phone
# what this phone is called until somebody names it
phone-pair-default-name = Phone
phone-pair-ask = Ask to pair
phone-pair-code = Code
phone-pair-words = Words
phone-pair-waiting = At the desk, open “Phones and people”, then “Add a phone”. Type this code. Both screens must show the same words.
phone-pair-approved = Paired. Everything is being sent.
phone-pair-refused = The desk turned this phone down. Ask again when they expect it.
phone-pair-expired = The code has expired. Ask again.
phone-pair-again = Ask again
phone-pair-on = To the cars
phone-pair-test = Is this phone ready? Test it
# $time: minutes and seconds, such as 4:05
phone-pair-left = Expires in { $time }
phone-pair-unreachable = The shop computer doesn't answer. Try again where it can be reached.

# something could not be stored: the loudest words of the app
phone-alarm-title = NOT SAVED.
phone-alarm-write = The phone couldn't store the last entry. Nothing before it is lost.
phone-alarm-quota = The phone is full. The last entry wasn't stored. Make room, then try again.
phone-alarm-again = Try again
phone-alarm-screen = This screen couldn't be shown. Everything recorded is safe.
phone-alarm-to-cars = To the cars
phone-alarm-outdated = Bradawl was updated in another tab. Close this one and go on there.
phone-alarm-judge = Ratings are paused. Your answers are saved.
phone-alarm-restart = Restart ratings

# what went wrong, said where it shows
phone-error-unreachable = The shop computer doesn't answer.
phone-error-not-ready = The shop computer isn't ready.
# $status: a number of the web's, such as 404
phone-error-answered = The shop computer answered { $status }.
phone-error-blocked = Bradawl is open in another tab with an older version. Close that tab; this one goes on by itself.
phone-error-closed = The browser doesn't open its storage. Close Bradawl fully and open it again. Nothing recorded is lost.
phone-error-no-checklist = This car's checklist isn't on this phone.
phone-error-checklist-coming = This car's checklist isn't here yet. It may still be on its way.
phone-error-no-judge = This phone doesn't have the ratings yet. Open Bradawl once with a signal, or near the shop computer.
# $fault: in the words of the browser or of Python
phone-error-judge = The ratings stopped: { $fault }
phone-error-judge-silent = The ratings don't answer.
phone-error-judge-restarting = Restarting.
phone-error-new-chains = This phone started over several times in one exchange. It tries again later.
phone-error-too-long = This entry is too long to record. Shorten the text.
phone-error-fraction = A number with a fraction is recorded as it was typed.
phone-error-not-recordable = This entry can't be recorded.
phone-error-batch-damaged = Entries arrived damaged and weren't kept.
phone-error-batch-key = Entries came with another device's key and weren't kept.
phone-error-batch-signature = Entries came without their device's signature and weren't kept.
# numbers of entries
phone-error-batch-gap = Entries came from { $from } on, but this phone holds only { $held } of that device.
phone-error-copies-part = The shop computer's copy of another device differs from this phone's.
phone-error-photo-browser = This browser can't prepare photos. Choose a smaller one.
phone-error-photo-empty = The photo is empty. Take it again.
phone-error-photo-large = The photo is larger than 60 MB. Choose a smaller one.
phone-error-photo-kind = This file isn't a photo (JPEG, PNG, WebP, or HEIC).
phone-error-photo-damaged = The photo is damaged or cut off. Take it again.
phone-error-photo = The photo couldn't be prepared. Take it again, or choose a smaller one.

# The first question of all, and the same in the settings. An answer sets units, money, dates and law.
phone-where-title = Where do you look at cars?
phone-where-us = United States
phone-where-us-brings = Inches, mils, °F, psi, miles, dollars
phone-where-eu = Europe
phone-where-eu-brings = Millimeters, microns, °C, bar, kilometers, euros
phone-where-hint = You can change this later, and any unit right where you type.
phone-where-later = Sets units, money and dates. A car you've already started keeps its own law and currency.

phone-reading-pick = Pick a date: { $name }
# $part, $whole: the two amounts that a text with a comma may have been meant for
phone-facts-money-comma = A comma only groups thousands, as in 1,234. Enter { $part } or { $whole }.
phone-facts-money-unread = Enter an amount, like { $example }.
phone-facts-distance-unread = Enter a distance, like { $example }.
