# The desk: pages for the shop computer, the plan's workbook and sheets, files that are imported.
# Said to a restorer at the bench: short, warm, American.

## What a person typed that cannot be kept. $what is the name of the field or of the row.

desk-error-amount = { $what }: “{ $typed }” isn't an amount. Enter it like { $example }.
desk-error-too-much = { $what }: { $typed } is more than any car costs. Check the number.
desk-error-whole = { $what }: enter a whole number from { $low } to { $high }, not “{ $typed }”.
desk-error-hours = { $what }: “{ $typed }” isn't a number of hours. Enter it like 1.5.
desk-error-hours-most = { $what }: { $typed } hours is more than a year of work. Check the number.
# $figures: three figures, such as 90, 40, 20
desk-error-rising = { $what }: { $figures } are out of order. Enter low, likely, then high.
desk-error-day = { $what }: “{ $typed }” isn't a date. Enter it like { $example }.
# What was typed could mean several things; $meanings: "Apr 3, 2022 or Mar 4, 2022"
desk-error-number = { $what }: “{ $typed }” isn't a number.
# $meanings: what a text with commas or points where nobody here writes them may have been meant for
desk-error-marks = { $what }: “{ $typed }” wasn't read. A comma only groups thousands, as in 1,234. If you mean { $meanings }, enter it that way.
desk-error-which = { $what }: “{ $typed }” could be { $meanings }. Enter it one of those ways.
desk-date-pick = Pick a date: { $what }
# $start: how the text begins
desk-error-too-long = “{ $start }…” is too long. Keep it under { $most } characters.
desk-error-no-file = No file came through. Choose one, then press the button again.
desk-error-file-large = “{ $name }” is over { $most } MB. Choose a smaller file.
desk-error-no-photo = “{ $name }” isn't a photo. Use JPEG, PNG, WebP or HEIC.
# $why: a whole sentence
desk-error-photo-refused = “{ $name }” wasn't saved. { $why }
desk-error-back = Back to the cars
desk-error-sign-in-why = You come back to the page you were on. What you typed is put back there, if your browser runs scripts; files have to be picked again.
desk-error-sign-in-go = Sign in and come back
# $what: the name of a field or of a row
desk-form-moved = { $what }: somebody else changed this while you were typing. Yours is still below; compare it with what stands in another tab, or save again to keep yours.
desk-error-nothing-saved = Nothing is saved yet. What you typed is still below.

## One car: the pages about it, in their order

# Said to those who hear the page: what the row of tabs is
desk-tabs = This car
desk-tab-findings = Findings
desk-tab-photos = Photos
desk-tab-purpose = Must-haves
desk-tab-going = Before you go
desk-tab-claims = Ad and claims
desk-tab-leaving = Deal or pass
desk-claims-save = Save
desk-claims-gone = That ad or claim has been removed since. Reload the page.
desk-tab-brief = What it's for
desk-tab-profile = Figures
desk-tab-baseline = Maintenance
desk-tab-plan = Repairs
desk-tab-wires = Wires
desk-tab-tip-over = Fix or replace
desk-tab-order = Job list
desk-tab-work = Done
desk-tab-money = Money
desk-tab-trouble = Symptoms
desk-tab-exports = Files
desk-tab-history = History

## One car's own figures

desk-profile-why = What settles this car's checks and limits. With its maker's figures they are rated by those; without, some can't be called OK.
desk-profile-none = This visit began with a checklist that asks for no figures.
# $known of $all facts of a group are filled in
desk-profile-count = { $known } of { $all }
desk-profile-unknown = Unknown
desk-profile-where = Read where?
# $title: "Set pressure"
desk-profile-where-of = { $title }: read where?
desk-profile-manual = Manual
desk-profile-sticker = Sticker
desk-profile-part = On the part
desk-profile-practice = Word or practice
# $model: make, model and years
desk-profile-model = From the shop's figures for { $model }.
desk-profile-choice = { $title }: pick one of those listed.
desk-profile-save = Save the figures

desk-profile-knows = The shop remembers { $model }.
desk-profile-take = Take its figures
desk-profile-began = Began with the shop's figures for { $model }.
desk-profile-remember = Remember this model with these figures

## Models that the shop remembers

desk-models-title = Models
desk-models-why = Figures and weak points by make, model and years. Phones carry them; a new car of the same model starts with them.
desk-models-caption = The models that the shop remembers
desk-models-none = None yet. Begin with one from a car's page “Figures”, or here.
desk-models-new = New model
desk-models-make = Make
desk-models-model = Model
desk-models-from = First year
desk-models-to = Last year
desk-models-notes = Notes
desk-models-look = Look here first
desk-models-look-help = Checks that are often bad on this model. They count as bad at least half the time, or a quarter of it, until somebody looks, and come earlier.
desk-models-check = Check
# $n: number of a row
desk-models-check-n = Check { $n }
desk-models-often = Often
desk-models-often-n = How often, row { $n }
desk-models-sometimes = Sometimes
desk-models-note = What to look for
desk-models-note-n = What to look for, row { $n }
desk-models-save = Save the model
desk-models-remove = Forget this model
desk-models-remove-go = Yes, forget it
desk-models-remove-help = Cars that began with its figures keep them.
desk-models-export = All models as a file
desk-models-import = From a file
desk-models-import-help = A model of the same make, model and years is replaced; the others stay.
desk-models-file = File
desk-models-read = Read it in
desk-models-nothing-taken = Nothing was taken from the file; what the shop has is as it was.
desk-models-unknown = The shop remembers no such model.
# $field: Make, or Model
desk-models-no-name = { $field }: type what it's called.
desk-models-no-check = “{ $typed }” is no check of today's checklist. Pick one of the list.
desk-models-no-json = { $name } is no JSON file. Read in one that a Bradawl wrote under Models.
desk-models-other = { $name } is no file of models. Read in one that a Bradawl wrote under Models.
desk-models-version = { $name } was written by a newer Bradawl. Update this one, then read it in.
# $where: model and field
desk-models-wrong-missing = { $where }: missing. Add it.
desk-models-wrong-extra = { $where }: no such field. Take it out, or correct its name.
desk-models-wrong-empty = { $where }: empty. Fill it in.
desk-models-wrong-long = { $where }: too long. Shorten it.
desk-models-wrong-years = The last year comes before the first. Correct one of them. { $where }
desk-models-wrong-chance = { $where }: say how often by a word or by a percent, and by one of them alone.
desk-models-wrong-other = { $where }: not what belongs there. Correct it.

## What stands in a record

desk-car-unnamed = Unnamed car
desk-car-unknown = There's no such car on this computer.
# $count: how many checks have this rating
desk-count = { $count } { $grade }
desk-photo-plain = Photo
desk-photo-no-caption = No caption
desk-photo-missing = Still on the phone
desk-photo-not-here = This photo hasn't reached the shop computer yet.
desk-tag-unconfirmed = not confirmed

desk-value-yes = yes
desk-value-no = no
desk-value-none = none
desk-value-reopened = asked again: { $why }
desk-value-taken-back = cleared
desk-value-erased = erased
# $value: what was recorded
desk-value-excluded = { $value } (excluded)
desk-value-no-time = time unknown
# $caption: what somebody wrote under it
desk-value-photo = photo “{ $caption }”
desk-value-signed = signed by { $name }
desk-value-signed-nobody = signed without a name
# $title: what is measured; $place: where on the car
desk-reading-placed = { $title }, { $place }
# $units: a list
desk-reading-unit-wrong = { $reading }: choose { $units }.

desk-span-years =
    { $count ->
        [one] 1 year
       *[other] { $count } years
    }
desk-span-days =
    { $count ->
        [one] 1 day
       *[other] { $count } days
    }
desk-span-hours =
    { $count ->
        [one] 1 hour
       *[other] { $count } hours
    }
desk-span-short = less than an hour

# What an entry of the record is about
desk-path-amend = Why changed: { $what }
desk-path-settled = Why settled: { $what }
desk-path-about-archived = Archived
desk-path-about-deleted = Deleted
desk-path-about-name = Name in the lists
desk-path-about-app = App version
desk-path-about-asking-price = Asking price
desk-path-about-bundle = Checklist
desk-path-about-currency = Currency
desk-path-about-dark = Dark
desk-path-about-depth = How thorough
desk-path-about-distance-home = Distance home
desk-path-about-inspector = Looked over by
desk-path-about-motorway = Highway on the way home
desk-path-about-place = Place
desk-path-about-seller = Seller
desk-path-about-started = Looked over
desk-path-about-voice = Asked before recording voices
desk-path-about-wet = Wet
desk-path-about-zone = Time zone
desk-path-car-airbags = Airbags
desk-path-car-aircon = Air conditioning
desk-path-car-assist = Power steering
desk-path-car-banks = Cylinder numbers
desk-path-car-body-style = Body
desk-path-car-catalyst = Catalytic converter
desk-path-car-colour = Color
desk-path-car-cylinders = Cylinders
desk-path-car-drive = Drive
desk-path-car-front-brakes = Front brakes
desk-path-car-fuel = Fuel
desk-path-car-fuelling = Fuel system
desk-path-car-gearbox = Transmission
desk-path-car-id = Car
desk-path-car-injection = Injection
desk-path-car-known-model = Began as the shop's model
desk-path-car-look-first = Look here first
desk-path-car-make = Make
desk-path-car-market = Sold new in
desk-path-car-model = Model
desk-path-car-odometer = Odometer
desk-path-car-rear-brakes = Rear brakes
desk-path-car-registration = Plate
desk-path-car-steering = Steering
desk-path-car-structure = Frame
desk-path-car-vin = VIN
desk-vin-check = VIN check
desk-path-car-volts = Electrical system
desk-path-car-year = Year
desk-path-brief-budget = Budget, car included
desk-path-brief-deadline = Ready by
desk-path-brief-hourly-rate = Labor rate per hour
desk-path-brief-labor-paid = Somebody bills the hours at this rate
desk-path-brief-margin = Cushion
desk-path-brief-originality = Keep original, %
desk-path-brief-uses = What it's for
desk-path-brief-value-good = Value when done
desk-path-seal = Signature { $number }
# $what: where in the plan, by its short names
desk-path-ads = Ad
desk-path-claims = Claim
desk-path-wants = Must-have or reason to leave
desk-path-drive = Drive home
desk-path-deal = Bargain
desk-path-papers = Closing papers
desk-path-passed = Passed
desk-path-media = Photo or recording
desk-path-notes = Note
desk-path-people = Whose phone
# $stage: "Underneath"
desk-path-taken = Taken on: { $stage }
desk-path-work = Job: { $what }
desk-path-plan = Plan: { $what }
desk-path-trouble = Symptom: { $what }
# $title: a check; $part: what of it
desk-path-item = { $title }: { $part }
desk-path-part-choice = answer
desk-path-part-grade = rating
desk-path-part-note = note
desk-path-part-photos = photo
desk-path-part-cost = cost of the repair
desk-path-part-text = what it says
desk-path-part-why = reason

## Heads of columns

desk-col-area = Area
desk-col-arrived = Arrived
desk-col-as-signed = As signed
desk-col-by = By
desk-col-car = Car
desk-col-change = Change
desk-col-check = Check
desk-col-checked = Checked
desk-col-drive-home = Drive home
desk-col-entries = Entries
desk-col-entry = Entry
desk-col-looked-over = Looked over
desk-col-now = Now
desk-col-phone = Phone
desk-col-signed = Signed
desk-col-value = Value
desk-col-what = What
desk-col-when = When
desk-col-why = Why
desk-col-worst = Worst

desk-paging = Pages
desk-paging-newer = Newer
desk-paging-older = Older
desk-paging-page = Page { $page } of { $pages }

## The list of cars

desk-list-title = Cars
# cars that were archived or deleted, and look-overs in which nothing was recorded
desk-list-shelved = Put away ({ $count })
desk-shelved-title = Put away
desk-shelved-none = Nothing was put away.
desk-shelf-title = Rename or put away
desk-shelf-name-help = Instead of make and model. Empty: make, model, and year again. The report keeps those.
desk-shelf-archived = Archived
desk-shelf-archived-means = Out of the lists, the board, and Compare, here and on every phone.
desk-shelf-deleted = Deleted
desk-shelf-deleted-means = Nothing of it is lost, and it can be restored. If somebody records more of the car, it comes back by itself.
desk-shelf-empty = Nothing recorded
desk-shelf-empty-means = Started on a phone and left at that. It joins the lists with its first entry.
desk-shelf-archive = Archive
desk-shelf-delete = Delete
desk-shelf-restore = Restore
desk-shelf-signed = A signed look-over can't be deleted: whoever has its report must be able to check it. It can be archived.
desk-shelf-act = Choose what to do with it: nothing was changed.
desk-list-excluded = Excluded entries and clocks
# A longer name, said to those who hear the page, begins with the words on the button.
# stands behind a link “Entries to confirm”
desk-list-chains =
    { $count ->
        [one] 1 phone recorded something that needs your OK.
       *[other] { $count } phones recorded something that needs your OK.
    }
# What to do next, on pages that have nothing to show yet
desk-next-cars = See the cars
desk-next-look = Look a car over with the phone app
desk-next-checklists = See the checklists
desk-next-plan = See the repairs to do
desk-next-findings = See what was found
desk-list-set-up = Set up the shop
desk-list-sample = Cars to play with
desk-list-health = Is all well?
desk-list-health-see = See details
desk-list-health-tell = Tell an owner.
desk-list-find = Find a car
desk-list-find-hint = car, plate, name
desk-list-find-go = Find
desk-list-all = All cars
desk-reading =
    { $count ->
        [one] 1 car is still being read.
       *[other] { $count } cars are still being read.
    }
# a link to the same page
desk-reading-again = Look again
desk-still-reading = Still being read
desk-list-not-found = No car has “{ $words }” in its name, plate, date, or who looked it over.
desk-list-none = No cars yet.
# $app: the app's address
desk-list-begin = Open the phone app at { $app } and start a car. It shows up here when the phone can reach this computer.
desk-list-caption = Cars, newest first
desk-list-photos-missing = { $missing } of { $count } photos and recordings still on the phone
desk-list-entries =
    { $count ->
        [one] 1 entry
       *[other] { $count } entries
    }
desk-list-photos =
    { $count ->
        [one] 1 photo
       *[other] { $count } photos
    }
desk-list-entries-photos =
    { $entries ->
        [one] 1 entry
       *[other] { $entries } entries
    }, { $photos ->
        [one] 1 photo
       *[other] { $photos } photos
    }
# $when: date and time
desk-list-last = last { $when }
desk-list-conflicts =
    { $count ->
        [one] 1 conflict
       *[other] { $count } conflicts
    }
# $number: how its id begins
desk-list-by-number = Car { $number }
desk-list-unreadable = This one can't be read.
desk-list-unreadable-why = Its entries are safe; the server's log says why.

## Findings to look through, and where each leads

desk-filter = Find among the findings
desk-filter-all = All
desk-filter-grade = Rating
desk-filter-standing = State
desk-filter-words = Word
desk-filter-go = Show
desk-filter-none = Show all
desk-filter-nothing = Nothing here fits.
desk-filter-shown = { $shown } of { $count } findings
desk-standing-danger = Still dangerous
desk-standing-open = Still open
desk-standing-mended = Mended
desk-standing-claimed = Only claimed
desk-own-tag = in somebody's own words
# $repair: what is done; $cost: about what it comes to
desk-lead-repair = Repair: { $repair }, about { $cost }
desk-lead-plan = Repairs for it
desk-lead-mended = Mended: see the work and its proof
desk-lead-symptom = May be behind: { $symptom }
desk-lead-amend = Add a note or photo
# A longer name, said to those who hear the page, begins with the words on the link.
desk-lead-amend-which = Add a note or photo: { $title }

## Adding to an inspection, and correcting it

desk-amend-title = Add a finding, correct the car
desk-amend-why = Everything is kept with your name and the time. What was there before stays in the history.
desk-amend-signed = This inspection is signed. What you add or change is kept as an amendment, with your name, the time, and why; what was signed stays in the history.
desk-amend-finding = Add a finding, a note, or a photo
desk-amend-own = Something no check asks for
desk-amend-own-title = In your own words
desk-amend-own-area = Area
desk-plan-no-figure = No figure yet
desk-amend-own-cost = What the repair would cost, if it's in your own words
desk-amend-own-cost-else = The cost of a check's repair is changed in the plan. Leave the field empty.
desk-amend-no-grade = Leave as it is
desk-amend-note = Note
desk-amend-reason = Why
desk-amend-own-help = A finding in your own words counts like any other: in the verdict, the price, and the plan, where it has a job of its own. Without a figure for the repair, it's named beside the price.
desk-amend-add = Add
desk-amend-facts = The car and the sale
desk-amend-correct = Save corrections
desk-amend-back = Back to the findings
desk-amend-history = See the history
desk-amend-why-missing = Say why, in a few words: this changes what somebody recorded or signed.
desk-amend-title-missing = Say what you found, in your own words.
desk-amend-item-missing = Pick a check from the list.
desk-amend-area-missing = Pick an area from the list.
desk-amend-grade-missing = Pick a rating: dangerous, major, or minor.
desk-amend-empty = Nothing to add yet: pick a rating, type a note, or choose a photo.

## The life of a car, and the board of all

desk-board-title = Shop board
desk-board-states = States
desk-board-since = since { $date }
desk-board-spent = Spent
desk-board-still = Still to come
desk-board-hours = Hours
desk-board-hours-both = { $done } done, { $left } to go
desk-board-parts =
    { $count ->
        [one] Waiting for 1 part:
       *[other] Waiting for { $count } parts:
    }
desk-board-next =
    { $count ->
        [one] Next, the only job:
       *[other] Next of { $count } jobs:
    }
desk-board-move = Change its state
# A longer name, said to those who hear the page, begins with the words on the link.
desk-board-move-which = Change its state: { $car }
desk-board-photos-of = Photos of { $car }
desk-board-more =
    { $count ->
        [one] 1 more in the list of cars
       *[other] { $count } more in the list of cars
    }
desk-board-state-missing = Pick a state from the list.
desk-wall-before = Before
desk-wall-after = After
desk-wall-none = No photo.
desk-wall-empty = No photos yet.
desk-sort-some =
    { $count ->
        [one] 1 photo, recording, or note isn't sorted yet.
       *[other] { $count } photos, recordings, and notes aren't sorted yet.
    }
desk-sort-lead = Sort them

# What was captured on the phone and belongs to no check yet
desk-sort-title = Not sorted: { $count }
desk-sort-why = Taken on the spot, and not with a check yet. The report leaves a photo out until it's with a check or has a caption.
desk-sort-pick = Pick number { $n }
# Puts one photo, recording or note with the check that was open when it was taken
desk-sort-here = Put with: { $title }
desk-sort-with = Check for those picked
desk-sort-choose = Choose a check
desk-sort-put = Put them there
desk-sort-none = Nothing is picked yet. Tick what belongs together.
desk-sort-no-check = Choose the check that they belong to.
desk-recording-engine = Engine sound
desk-recording-voice = Voice note
desk-recording-not-here = This recording hasn't reached the shop computer yet.
desk-viewer-title = Photo
desk-viewer-place = Photo { $n } of { $count }
desk-viewer-previous = Previous
desk-viewer-next = Next
desk-viewer-larger = Larger
desk-viewer-beside = Side by side
desk-viewer-close = Close

## A signature: it locks what was recorded

desk-lock-no = Not signed
desk-lock-whole = Signed
desk-lock-broken = Doesn't match its signature
desk-lock-changes =
    { $count ->
        [one] 1 change since
       *[other] { $count } changes since
    }
desk-lock-signature = Signature of { $name }
desk-lock-holds = Checks out: that phone signed it, and findings and photos are as they were signed.
# stands before a long row of letters and digits that stands for everything that was signed
desk-lock-open = Open when it was locked: { $unchecked } checks without an answer, { $disputed } with two answers, { $unsorted } photos or notes not sorted.
desk-lock-digest = Seal
desk-lock-not-yet = Not signed yet. On the phone it's one tap, under “Lock it”.

## One car: findings

desk-show-report-buyer = Buyer copy (PDF)
desk-show-report-ours = Our copy, with money (PDF)
desk-show-report-choose = Report options
desk-show-share = Share
desk-show-forget = Erase seller's details
desk-show-verdict = Verdict
# $verdict: "Trailer it. Buy it up to $2,900."
desk-show-verdict-signed = Signed { $when }: { $verdict }
desk-show-verdict-now = Today, with what was added since and today's rules: { $verdict }
desk-show-no-answer = No answer on the drive home yet
desk-show-reasons =
    { $count ->
        [one] 1 reason
       *[other] { $count } reasons
    }
# $share: such as 80%
desk-show-coverage = { $share } of what matters was checked
# $phone: its name
desk-show-unconfirmed =
    { $count ->
        [one] 1 entry from { $phone } isn't confirmed.
       *[other] { $count } entries from { $phone } aren't confirmed.
    }
desk-show-unconfirmed-look = See the entries
desk-show-unconfirmed-owner = An owner has to confirm.
desk-show-areas = Areas
desk-show-signature = Signature
desk-show-overruled = Measured: { $measured }. A person says: { $grade }. Both are kept.
desk-show-cautions = Before you work on it
desk-show-no-faults = Nothing wrong in what was checked here.
# on the drawn car
desk-map-figures = Figures: paint film in { $unit }
desk-show-fine =
    { $count ->
        [one] 1 OK
       *[other] { $count } OK
    }

desk-unseen-why = Treat these as unknown, not as good.
desk-unseen-caption = Checks nobody made, and why
desk-unseen-not-reached = not reached
desk-unseen-none = Everything on the list was checked.

desk-amendments-title = Changed since signing
desk-amendments-why = What was signed stays as it was. These came later.

desk-conflict-title =
    { $count ->
        [one] 1 conflict
       *[other] { $count } conflicts
    }
# who did which stage of the walk, where two phones walked one car
desk-walked-title = Who walked what
desk-walked-stage = Part of the walk
desk-walked-taken = Taken by
desk-walked-far = Answered
desk-walked-who = Answers by
desk-walked-of = { $done } of { $total }
# $who: a person's name
desk-walked-share = { $who }: { $count }
desk-conflict-why = Two people answered differently. Until you pick, the later answer shows and the worse rating counts. Your pick is recorded with your name. Nothing is deleted.
desk-conflict-standing = counts now
desk-conflict-reason = Why
desk-conflict-why-missing = Say why this one counts, in a few words. Nothing was changed.
desk-conflict-not-settled = Nothing was settled here, or somebody asked again already. Nothing was changed.
# $why: a reason somebody typed
desk-conflict-reopened = Asked again: { $why }
desk-settled-title =
    { $count ->
        [one] 1 conflict settled
       *[other] { $count } conflicts settled
    }
desk-settled-reopen = Ask again
desk-settled-reopen-why = Why
desk-settled-reopen-go = Ask again
# A longer name, said to those who hear the page, begins with the words on the button.
desk-settled-reopen-which = Ask again: { $what }
desk-conflict-keep = Keep this
# $what: what the answer is about
desk-conflict-keep-this = Keep this: { $value }, for { $what }
# readings that could mean two things
desk-doubt-title =
    { $count ->
        [one] One reading could mean two things
       *[other] { $count } readings could mean two things
    }
desk-doubt-why = Nothing is rated by it until somebody says which. Your answer is recorded with your name.
# for those who hear the page: $value is what was meant, $what the reading
desk-doubt-meant = It was { $value }: { $what }
desk-doubt-changed = The reading changed since this page was made. Look again and pick.
desk-conflict-settled = Somebody already settled this one. Nothing was changed.
desk-conflict-changed = The answers changed since this page was made. Look again and pick.

## What it's for

desk-brief-why = What the car is for decides what matters. It steers the checks on the phone, the repairs, and how cars compare.
desk-brief-originality-help = 0: don't care. 100: what it takes off the value. 200: twice that.
desk-brief-copy = Use this for other cars too
desk-brief-copy-help = Uses, must-haves, budget, date, rate, cushion, and originality are copied. Value and what a car has stay its own.
desk-brief-save = Save

## Cars side by side

desk-compare-title = Compare cars
desk-compare-none = No cars yet, so nothing to compare.
desk-compare-choose = Choose cars
desk-compare-partial =
    { $count ->
        [one] 1 of these cars has no figures yet; its column fills in when it's been read. The order is only that of the others.
       *[other] { $count } of these cars have no figures yet; their columns fill in when they've been read. The order is only that of the others.
    }
desk-compare-gone =
    { $count ->
        [one] 1 car you picked isn't here any more.
       *[other] { $count } cars you picked aren't here any more.
    }
desk-compare-go = Compare
desk-compare-briefs-differ = These cars aren't for the same thing, so prices don't compare. Under “What it's for” you can use one answer for all.
# $cars: a list of names
desk-compare-edited = Priced by your own repairs list: { $cars }. The others go by the checklist's prices.
desk-compare-currencies = Different currencies, not converted: { $currencies }.
desk-compare-rule = Best first: no reason to leave came true, the fewest must-haves not met, the fewest not known, then the most room to bargain. Top price = value when done, less what its history takes off, less repairs, less what's set aside for what wasn't checked, less your cushion.
desk-compare-caption = Cars, best first
desk-compare-faults = Faults
desk-compare-wants = Must-haves, leave if
# $must: "Tows a trailer"; $met: "Met"
desk-compare-must = { $must }: { $met }
# $why: "It was under water"; $met: "Came true"
desk-compare-leave = Leave if: { $why }: { $met }
desk-compare-work = Repairs and papers, about
desk-compare-work-range = { $low } to { $high }; 80% sure under { $sure }
desk-compare-priced-by = Priced by
desk-compare-by-plan = your repairs list
desk-compare-by-checklist = the checklist
desk-compare-see-plan = See the repairs
desk-compare-edits-edited =
    { $count ->
        [one] 1 repair edited
       *[other] { $count } repairs edited
    }
desk-compare-edits-picked =
    { $count ->
        [one] 1 repair picked by hand
       *[other] { $count } repairs picked by hand
    }
desk-compare-edits-left-out =
    { $count ->
        [one] 1 service left out
       *[other] { $count } services left out
    }
desk-compare-edits-done =
    { $count ->
        [one] 1 fault fixed
       *[other] { $count } faults fixed
    }
desk-compare-worth = { $worth } with its history
desk-compare-reserve = Set aside for what wasn't checked
desk-compare-top-price = Top price
desk-compare-no-price = Not worth it at any price
desk-compare-room = Room to bargain
desk-compare-no-value = Enter its value under “What it's for”
desk-compare-all-in = All in
desk-compare-over-budget = over the { $budget } budget
desk-compare-legend = Outline: repairs, low to high. Solid: likely to 80% sure. Hatched: set aside, on top of what repairs are expected to cost. Upright line: asking price.
# one car's bar, said to those who cannot see it
desk-compare-bar = { $car }: repairs { $low } to { $high }, 80% sure under { $sure }, { $reserve } set aside, asking { $asking }
desk-compare-flips = What would change the order
desk-compare-ahead = { $ahead } is ahead of { $behind }
desk-compare-no-prices = Can't compare prices until both have an asking price and a value.
# $lacks: a list of must-haves
desk-flip-leave = { $car }: leave, because this came true: { $lacks }. No price changes that.
desk-flip-must = { $car } doesn't have: { $lacks }. No price changes that.
desk-flip-open = { $car }: nobody knows yet: { $lacks }. Find out, and the order may change.
desk-flip-cheaper = { $car } takes the lead at { $price } or less.
desk-flip-dearer = { $car } falls behind at { $price } or more.
# $check: the name of a check
desk-flip-bad = Check on { $ahead }: { $check }. If it's bad it costs about { $cost }, and { $behind } takes the lead.
desk-flip-sound = Check on { $behind }: { $check }. If it's good it frees up { $freed } of the money set aside and takes the lead.
desk-flip-none = No single check changes the order.

## Words of all the pages about repairs and money

desk-save = Save
desk-caution = Caution.
desk-range = { $low } to { $high }
# at the end of a list
desk-more = { $count } more
# $what: parts, hours, or what each costs
desk-three = { $what }: low, likely, high
desk-three-low = { $what }, low
desk-three-likely = { $what }, likely
desk-three-high = { $what }, high
# said to those who hear the page: what a list of units belongs to
desk-unit-of = Unit of { $what }

# What kind of job it is: the worst comes first
desk-class-danger = Safety
desk-class-reliability = Reliability
desk-class-decay = Stops rust
desk-class-comfort = Comfort
desk-class-looks = Cosmetic
# What kind of repair it is
desk-kind-mend = fix
desk-kind-part = part
desk-kind-assembly = assembly
desk-kind-paper = paperwork
desk-need-need = need
desk-need-want = want

desk-col-after = After
desk-col-before = Before
desk-col-budget = Budget
desk-col-cost = Planned
desk-col-estimate = Estimate
desk-col-evidence = Proof
desk-col-finding = Fault
desk-col-hours = Hours
desk-col-in-plan = In the plan
desk-col-job = Job
desk-col-kind = Kind
desk-col-left = Left
desk-col-loss = Originality lost
desk-col-need = Need
desk-col-number = No.
desk-col-parts = Parts
desk-col-period = Month
desk-col-repair = Repair
desk-col-service = Service
desk-col-status = Status
desk-col-then = Good for, after this job
desk-col-to-pay = To pay
desk-col-use = Pick
desk-col-waits-for = Waits for

## Repairs

desk-plan-needs =
    { $count ->
        [one] Needs, 1 job
       *[other] Needs, { $count } jobs
    }
desk-plan-wants =
    { $count ->
        [one] Wants, 1 job
       *[other] Wants, { $count } jobs
    }
desk-plan-all = All together
desk-plan-budget = Budget
desk-plan-budget-after-car = Budget after buying the car
desk-plan-budget-left = { $amount } left after repairs
desk-plan-budget-short = { $amount } short of the repairs
desk-plan-assumed = assumed
desk-plan-formula = Estimate = (low + 4 × likely + high) ÷ 6 of parts, hours × labor rate, and originality lost.
desk-plan-cheapest = This is the cheapest set of repairs that covers every fault you didn't decide by hand.
desk-plan-not-proven = Too many combinations to prove this is the cheapest set. It's the best one found.
# $page: a link to the page Maintenance
desk-plan-services =
    { $count ->
        [one] Includes 1 service with no receipt, { $cost }. See { $page }.
       *[other] Includes { $count } services with no receipt, { $cost }. See { $page }.
    }
desk-plan-loss-counts = Includes { $loss } for originality lost. It weighs in the choice, but nobody sends a bill for it.
desk-plan-own-hours = To pay: { $paid }. Your own { $hours } weigh in the choice at the labor rate, but nobody sends a bill for them.
desk-plan-spent = Spent and ordered so far
desk-plan-to-pay = Still to pay
# $repairs: a list
desk-plan-without-loss = If keeping it original didn't matter, you'd pick: { $repairs }.
desk-plan-none = No faults, so nothing to fix.
desk-plan-caption = Each fault and what would fix it. The pick is marked; choose another to decide by hand. You can paste cells from a spreadsheet.
# beside the mark of what is fixed
desk-plan-fixed = with proof
desk-plan-class = Type
desk-plan-pick-cheapest = cheapest
# $repair: the name of another repair
desk-plan-by-other = fixed by “{ $repair }”
desk-plan-use = Pick { $repair } for { $finding }
desk-plan-chosen = picked
desk-plan-name = Name of the repair
desk-plan-covers =
    { $count ->
        [one] also fixes 1 more
       *[other] also fixes { $count } more
    }
desk-plan-origin-edited = edited
desk-plan-origin-own = added here
desk-plan-reset = back to the checklist's figures
desk-plan-remove = remove
desk-plan-no-repair = No repair yet. Add one below.
desk-plan-own-job = Own job
# $title: the name of a repair; what a field holds, for those who hear the page, and where it is wrong
desk-plan-parts-of = { $title }: parts
desk-plan-hours-of = { $title }: hours
desk-plan-loss-of = { $title }: originality lost
desk-plan-need-of = { $title }: need it (off: want it)
desk-plan-add = Add a repair or a wish
desk-plan-fixes = It fixes
desk-plan-fixes-nothing = nothing broken: a wish
desk-plan-fixes-also = It also fixes
desk-plan-new = New repair
desk-plan-new-name = Name
desk-plan-new-need = Need it (off: want it)
desk-plan-wish-for = For a wish: what it's good for
desk-plan-add-go = Add
desk-plan-stale = Somebody changed the plan while this page was open. What you typed is still below. Look it over and save again.
desk-plan-name-missing = { $what }: give the repair a name.
desk-plan-target-missing = Choose the fault it fixes, or “a wish”.

## Fix or replace

desk-pieces-why = Where one assembly could replace its pieces: what failed, what may fail next, and when replacing wins.
desk-pieces-failed = Failed: { $checks }.
desk-pieces-plan-replaces = The plan replaces it.
desk-pieces-plan-fixes = The plan fixes the pieces.
desk-pieces-answer-replace = Replace it: { $assembly }
desk-pieces-answer-mend = Mend it: { $repairs }
desk-pieces-answer-costs = Replacing comes to { $replacing }, mending to { $mending }, your hours included.
desk-pieces-answer-waiting = Of that, { $further } is what else is likely to fail, by the chances below.
desk-pieces-answer-loss = { $loss } of replacing is originality: what it takes off the price when you sell.
desk-pieces-tips-cost-replace = Replacing stays the cheaper way up to { $cost } for the assembly.
desk-pieces-tips-cost-mend = Replacing would win if the assembly came to less than { $cost }.
desk-pieces-tips-count =
    { $count ->
        [one] One more failure tips it to replacing.
       *[other] { $count } more failures tip it to replacing.
    }
desk-pieces-tips-chance = So does a chance of { $chance } for each piece below.
desk-pieces-picked = You chose this.
desk-pieces-picked-otherwise = By cost, the answer would be the other one.
desk-pieces-take-back = Take my choice back
desk-pieces-adopt-replace = Yes, replace it
desk-pieces-adopt-mend = Yes, mend it
desk-pieces-instead-mend = Mend it anyway
desk-pieces-instead-replace = Replace it anyway
# $page: a link to the page Repairs
desk-pieces-no-other-way = Nothing else fixes { $checks }, so there's nothing to weigh it against. Add a way to fix it under { $page }.
desk-pieces-no-assembly = No assembly among the repairs. Add one under { $page }: kind “assembly”, with the faults it also fixes.
desk-pieces-fixing = Fix what failed
desk-pieces-fixing-one-by-one = Fix piece by piece
desk-pieces-replacing = Replace the assembly
desk-pieces-loss-within = including { $loss } for originality lost
desk-pieces-failures = Failures until replacing wins
desk-pieces-cheaper-now = none: it's cheaper today
desk-pieces-none-stated = no pieces listed below
desk-pieces-never = not even if every piece fails
desk-pieces-failures-range = { $least } of the dearest, or { $most } of the cheapest
desk-pieces-failures-dearest = { $least } of the dearest; never, of the cheapest
desk-pieces-chance = Chance of each until replacing wins
desk-pieces-by-chances = By the chances below
desk-pieces-by-chances-said = Fixing comes to { $cost }. { $chance } chance it ends up costing more than replacing.
desk-pieces-original = Originality decides
desk-pieces-original-decides = If keeping it original didn't matter, replacing would be cheaper today.
desk-pieces-say = List the pieces that may fail next, and the cost of fixing rises with their chance.
desk-pieces-by-count = Cost of fixing, by number of failures
desk-pieces-count-failed = Failures
desk-pieces-count-low = Cheapest pieces
desk-pieces-count-high = Dearest pieces
desk-pieces-piece = Piece
desk-pieces-row = Row { $n }
desk-pieces-how-many = How many
desk-pieces-each = To fix one
desk-pieces-chance-each = Chance of each, %
desk-pieces-caption = Pieces that haven't failed yet. The chance is your call.
desk-pieces-suggested =
    { $count ->
        [one] The first line is the checklist's suggestion. Save it to make it count.
       *[other] The first { $count } lines are the checklist's suggestion. Save them to make them count.
    }
desk-pieces-cost-missing = { $what }: enter what fixing one costs.
desk-pieces-count-of = { $what }: how many
desk-pieces-chance-of = { $what }: chance in %
desk-pieces-too-many = More than { $most } pieces. Group the ones that are alike.
desk-pieces-gone = This assembly isn't among the repairs anymore. Look again.
# the chart, said to those who cannot see it
desk-pieces-chart = Fixing rises from { $low } to { $high } as each piece gets likelier to fail. The assembly costs { $assembly }.
desk-pieces-chart-chance = Chance that each piece fails

## Job list

# $jobs: names of jobs with arrows between them
desk-order-ring = These jobs wait on each other: { $jobs }. Change what one of them waits for.
desk-order-rule = Danger first, then what leaves you on the road, then decay, comfort, looks. Within each, the gravest faults stay open for the shortest time your money per month and your hours per weekend allow.
desk-order-exact = No other order does better: every one was weighed.
desk-order-unproven = With this many jobs the best order within each isn't proven.
desk-order-gap = With this many jobs the best order isn't proven. Another could leave the gravest of them open { $gap } shorter at most.
desk-order-next = Next jobs
desk-order-waits-nothing = waits for nothing
desk-order-waits-part = Part on order: { $part }
desk-order-waits-part-due = Part on order: { $part }, due { $date }
desk-order-waits-jobs = After: { $jobs }
desk-order-waits-money = Money: more than this month's
desk-order-waits-hours = Hours: more than this weekend's
desk-order-weekend = Your hours per weekend
desk-order-weekend-most = Hours per weekend: { $most } at most.
desk-order-money-ends = The money of { $period } ends here.
desk-order-hours-end = This weekend's hours end here.
# $jobs: later, smaller jobs that the rest of the money or hours still bears
desk-order-still-fit = Below it these still fit: { $jobs }.
# $job: a larger job that waits; $jobs: smaller ones that stand behind it and are done before
desk-order-saved-for = “{ $job }” is saved for first. Meanwhile these are done, and it is no later for them: { $jobs }.
desk-order-never = “{ $job }” takes more than these months have. Meanwhile these are done: { $jobs }.
desk-order-takes = Without them { $amount } more would be there for it.
desk-order-pinned = pinned
desk-order-earlier = Earlier
desk-order-earlier-of = Earlier: { $job }
desk-order-later = Later
desk-order-later-of = Later: { $job }
desk-order-free = Unpin
desk-order-free-of = Unpin: { $job }
desk-order-warning = Usually after “{ $job }”. { $why }
desk-order-fix-due = The temporary fix is due: { $what }
desk-order-held = Temporary fixes and left for later
desk-order-held-why = These wait outside the list. The faults stay open, and the verdict on driving doesn't change. A temporary fix comes back into the list when it is due.
desk-order-held-none = None.
desk-order-is-temporary = Temporary fix: { $what }.
desk-order-is-left = Left for later: { $what }.
desk-order-good-until = Good until { $until }.
desk-order-ends = Ends with: { $what }.
desk-order-brings-back = Comes back if: { $what }.
desk-order-told = A buyer is told.
desk-order-not-told = A buyer isn't told.
desk-order-due-now = Due now: back in the list.
desk-order-back = Back into the list
desk-order-back-of = Back into the list: { $job }
desk-order-put-off = Put a job off
desk-order-hold-kind = How
desk-order-hold-temporary = Temporary fix
desk-order-hold-left = Left for later
desk-order-hold-what = What was done for now, or why it is left
desk-order-hold-ends = What ends it, or brings it back
desk-order-hold-until = Good until
desk-order-hold-odometer = Good until, on the odometer
desk-order-hold-told = A buyer is told it was left
desk-order-hold-what-missing = Put a job off: say what was done for now, or why it is left.
desk-order-hold-until-missing = Put a job off: a temporary fix needs a day or miles until which it is good.
desk-order-job-gone = This job isn't in the plan anymore. Look again.
# $use: what the car may be used for
desk-order-today = Today: **{ $use }**.
# $checks: a list of checks
desk-order-because = Because of: { $checks }.
desk-order-not-yet = Not yet: { $uses }.
desk-order-look-first = Before you spend anything, have somebody check these: { $checks }. The drive depends on them. Until then no job clears the car for the road.
desk-order-budget = Budget by month
desk-order-deadline = Ready by { $date }.
desk-order-budget-given = { $rest } left for repairs; the months below add up to { $given }.
desk-order-budget-over = That's { $amount } over budget.
desk-order-budget-caption = What you can spend each month. What's left carries over.
desk-order-period-n = Month { $n }
desk-order-period-name = Name of month { $n }
desk-order-period-budget = Budget of month { $n }
# one month's bar, said to those who cannot see it
desk-order-bar = { $period }: { $cost } of { $budget }
desk-order-legend = Outline: budget. Solid: planned.
desk-order-jobs = Jobs in order
desk-order-short-hours =
    { $count ->
        [one] These months don't have the hours for 1 job.
       *[other] These months don't have the hours for { $count } jobs.
    }
desk-order-short =
    { $count ->
        [one] The budget leaves out 1 job. { $amount } more would cover it.
       *[other] The budget leaves out { $count } jobs. { $amount } more would cover them.
    }
desk-order-want = (want)
desk-order-service = Service
desk-order-with-services = with this service: { $services }
desk-order-class-of = Type of { $job }
desk-order-early = early, because “{ $job }” waits for it
desk-order-after-of = { $job } waits for
desk-order-jobs-count =
    { $count ->
        [one] 1 job
       *[other] { $count } jobs
    }
desk-order-nothing = nothing
desk-order-nothing-else = nothing else
desk-order-practice =
    { $count ->
        [one] 1 job that usually comes first
       *[other] { $count } jobs that usually come first
    }
desk-order-no-money = no money yet
desk-order-loss = and { $loss } of originality lost
desk-order-if-sound = if what wasn't checked is good: { $use }
desk-order-none = Nothing to do: no faults, no wishes.
desk-order-save = Save and plan again

# What a car may be used for
desk-fit-off = Off the road
desk-fit-workshop = To a shop only, short and slow
desk-fit-short = Short trips, not yet what it's for
desk-fit-road = On the road

## Done: the work log

# before the findings that a job puts right
desk-work-for = Puts right:
desk-work-to-do = To do
desk-work-why = In the order of the job list. A fault is fixed once there's proof: a new reading or a photo. What was found stays in the record.
desk-work-estimate = Estimate { $cost }
desk-work-done-on = Done on
desk-work-by = By
desk-work-cost = Cost
desk-work-parts = Parts used
desk-work-note = Note
# $grade: a rating, such as Unsafe
desk-work-was = { $title }, was: { $grade }
desk-work-reading-now = { $reading }, now
desk-work-after = Afterwards
desk-work-after-unseen = Not checked yet
desk-work-after-minor = Still minor
desk-work-after-major = Still needs fixing
desk-work-photos = Photos
desk-work-caption = What they show
desk-work-ends-fix = This takes the place of the temporary fix
desk-work-ends-fix-why = As long as a temporary fix stands for this job, its faults don't count as fixed.
desk-work-save = Mark done
desk-work-nothing-left = Nothing left to do.
desk-work-parts-used = Parts: { $parts }
desk-work-before-after = Before and after
desk-work-noted = Logged { $when } by { $who }
desk-work-none = Nothing done yet.
desk-work-save-day = Log a day’s work; the job goes on
desk-work-goes-on = The job goes on
desk-work-part-done = part of the job
desk-work-spent-so-far = { $amount } in the ledger for this job
desk-work-unproven = Logged, not proven
desk-work-own-hours = My hours
desk-work-open-proof = Logged as done, not proven fixed yet. Take a new reading or add a photo below.
desk-work-change = Change or take back
desk-work-save-change = Save the change
desk-work-take-back = Take it back
desk-work-take-back-why = The job goes back to “To do”, and its findings count again. The log keeps what was written. What it cost stays in the ledger.
desk-work-no-entry = This entry was taken back already. Look at the log again.
desk-work-changed = Somebody changed this entry since you opened it. It now reads as shown; make your change again.
desk-work-gone = This job isn't in the plan anymore. Look at the plan again.
desk-work-future = Done on: { $date } hasn't come yet. Log it when it's done.
desk-work-who = Who did the work? Enter a name.
desk-work-after-missing = { $title }: choose how it is now.
desk-work-evidence-missing = { $title }: no proof yet. Take a new reading or add a photo.
# $why, $reason: whole sentences
desk-work-reading-wrong = { $title }: { $why }
desk-work-not-fixed = { $title } isn't fixed: the new reading says “{ $grade }”. { $reason }

## Maintenance

desk-service-why = No receipt, not done, whatever anybody says. Intervals are the checklist's; the owner's manual comes first.
desk-service-none = This car's checklist has no maintenance list.
desk-service-caption = Maintenance, what's due first
desk-service-done = done { $date }
desk-service-due = due
desk-service-not-due = not due
desk-service-plan = { $service }: in the plan
desk-service-with = done with “{ $job }”, paid once
# what says that a service was done
desk-evidence-documented = receipt
desk-evidence-seen = seen on the car
desk-evidence-claimed = seller says so
desk-evidence-unknown = nobody knows
desk-receipt-title = Add a receipt
desk-receipt-for = For
desk-receipt-odometer = Odometer then
desk-receipt-photo = Photo of the receipt
desk-receipt-caption = What it shows
desk-receipt-save = Add receipt
desk-receipt-photo-missing = A receipt has to be shown: add its photo.
desk-receipt-gone = This line isn't in the car's maintenance list anymore. Look again.

## Files

desk-files-export = Export
desk-files-xlsx = Workbook (XLSX)
desk-files-xlsx-help = Repairs, job list, budget, parts list, ledger, work log and actual costs, with live formulas.
desk-files-csv = Repairs (CSV)
desk-files-csv-help = The same rows for any program.
desk-files-parts-csv = Parts list (CSV)
desk-files-parts-csv-help = As it is typed; it can be read in again.
desk-files-parts-json = Parts list (JSON)
desk-files-ledger-csv = Ledger (CSV)
desk-files-ledger-csv-help = The entries that count.
desk-files-ledger-json = Ledger (JSON)
desk-files-parts-schema = What the parts file means (JSON Schema)
desk-files-ledger-schema = What the ledger file means (JSON Schema)
# $schema: a link
desk-files-table-json-help = Amounts in cents. { $schema }
desk-files-json = Full record (JSON)
# $schema: a link
desk-files-json-help = Every entry as it was made, with its checklist. { $schema }
desk-files-schema = What the file means (JSON Schema)
desk-files-import = Import your edits
desk-files-import-help = Figures, names, need or want, and budgets that you changed come back; only what's different is saved. A row with just a fault's id adds a repair to it.
desk-files-sheet = Workbook or CSV
desk-files-imported =
    { $count ->
        [0] Nothing was different.
        [one] 1 entry changed.
       *[other] { $count } entries changed.
    }

# Sheets of the workbook, and their columns
desk-sheet-parts = Repairs
desk-sheet-order = Jobs
desk-sheet-periods = Budget
# Sheets of the workbook and their columns
desk-sheet-parts-list = Parts list
desk-sheet-ledger = Ledger
desk-sheet-work = Work log
desk-sheet-actual = Planned and actual
desk-sheet-parts-total = All lines, returned ones left out
desk-sheet-each-low = Low each
desk-sheet-each-likely = Likely each
desk-sheet-each-high = High each
desk-sheet-date = Date
desk-sheet-entry-kind = Kind of entry
desk-sheet-entry-what = What
desk-sheet-amount = Amount
desk-sheet-counts = Counts
desk-sheet-hours-worked = Hours
desk-sheet-quantity = Quantity
desk-sheet-vendor = Vendor
desk-sheet-part-number = Part number
desk-sheet-jobs = Jobs
desk-sheet-paid-by = Paid by
desk-sheet-freight = Of that, freight
desk-sheet-core = Of that, core charge
desk-sheet-entry-id = Entry id
desk-sheet-replaces = Replaces
desk-sheet-finished = Finished
desk-sheet-by = By
desk-sheet-odometer = Odometer
desk-sheet-parts-used = Parts used
desk-sheet-note = Note
desk-sheet-hours-planned = Hours planned
desk-sheet-hours-done = Hours done
desk-sheet-all-jobs = All jobs
desk-sheet-id = Id
desk-sheet-covers = Fixes
desk-sheet-title = Repair
desk-sheet-kind = Kind
desk-sheet-need = Need or want
desk-sheet-chosen = In the plan
desk-sheet-parts-low = Parts low
desk-sheet-parts-likely = Parts likely
desk-sheet-parts-high = Parts high
desk-sheet-hours-low = Hours low
desk-sheet-hours-likely = Hours likely
desk-sheet-hours-high = Hours high
desk-sheet-loss = Originality lost
desk-sheet-cost-low = Cost low
desk-sheet-cost-likely = Cost likely
desk-sheet-cost-high = Cost high
desk-sheet-expected = Estimate
desk-sheet-paid = To pay
desk-sheet-number = No.
desk-sheet-job-id = Job id
desk-sheet-job = Job
desk-sheet-class = Type
desk-sheet-after = Waits for
desk-sheet-when = When
desk-sheet-then = Good for, after it
desk-sheet-period = Month
desk-sheet-budget = Monthly budget
desk-sheet-planned = Planned
desk-sheet-left = Left
desk-sheet-total-need = Needs
desk-sheet-total-want = Wants
desk-sheet-total-all = All together
# in the column “Fixes”, for a row that fixes no fault
desk-sheet-of-service = Service
desk-sheet-of-own = Own job
desk-sheet-of-wish = Wish
# $n: the number of a row; where something is wrong in a file
desk-sheet-row = Row { $n }
desk-sheet-period-row = Budget, row { $n }
desk-sheet-cell = { $row }, { $column }
desk-sheet-twice = { $row }: “{ $id }” is in the sheet twice. Keep one.
desk-sheet-unknown = { $row }: “{ $id }” isn't a repair of this car or one of its faults. For a new repair enter the fault's id, like brakes.front-pads.
# $need, $want: the two words that may stand there
desk-sheet-need-wrong = { $row }: enter “{ $need }” or “{ $want }”, not “{ $typed }”.
# $why: what the library says, in English
desk-sheet-no-workbook = “{ $name }” can't be read as a workbook: { $why }
desk-sheet-no-parts = “{ $name }” has no repairs sheet. Export the plan and edit that file.
desk-sheet-no-text = “{ $name }” is neither a workbook nor UTF-8 text. Save it as CSV in UTF-8.
desk-sheet-no-csv = “{ $name }”, line { $line }: this isn't CSV ({ $why }).
desk-sheet-too-long = “{ $name }” has more than { $most } rows.
# $columns: a list of headings
desk-sheet-columns =
    { $count ->
        [one] “{ $name }” lacks the column { $columns }. Export the plan and edit that file.
       *[other] “{ $name }” lacks the columns { $columns }. Export the plan and edit that file.
    }

## Symptoms

# $cause: the likeliest; $chance: such as 60%
desk-symptom-all = All symptoms
desk-symptom-caption = Causes, likeliest first
# how much a test tells
desk-symptom-save = Save result
desk-symptom-undo = Undo “{ $test }: { $outcome }”
desk-symptom-numbers = The numbers behind it
# $source: where the figures come from
desk-symptom-practice = How often and how likely: our own assumptions on common practice. They're in checklists/symptoms; you can edit them.
desk-symptom-source = Where these figures come from: { $source }. They're in checklists/symptoms; you can edit them.
desk-symptom-test-gone = This test isn't in the table anymore. Look again.
desk-symptom-cause-gone = This cause isn't in the table anymore. Look again.
desk-symptom-choose = { $test }: choose what you found.
desk-symptom-why-out = Say why the cause is ruled out.
desk-symptom-unknown = There's no such symptom in the tables.
desk-col-before-tests = Before any test
desk-col-cause = Cause
desk-col-if-this = If this is it
desk-col-stands = Chance

## History, and entries of phones that are not known for sure

desk-history-why = Every entry as it was recorded, newest first. A later entry replaces an earlier one, and both stay.
desk-history-exclude-why = Exclude an entry that shouldn't count. You can include it again.
desk-history-caption = Entries for this car, newest first
desk-history-corrected = when it arrived; its own clock ran ahead
desk-history-excluded-with = Excluded with others
# $what: what the entry is about
desk-history-exclude = Exclude: { $what }
desk-history-include = Include again: { $what }

desk-chains-title = Entries to confirm
desk-chains-why = Entries from a phone this computer doesn't know for sure count like all others, and are marked, until you look at them. Confirm what's yours. Exclude what isn't: it's kept but doesn't count.
# why somebody has to look at what a phone recorded
desk-chain-reason-lost = The phone lost its storage and started over.
desk-chain-reason-forked = Two copies of one phone recorded different entries under the same numbers.
desk-chain-reason-rolled-back = The phone was set back to an older copy of itself.
desk-chain-reason-restored = The shop computer was restored from a backup.
desk-chain-reason-copied-back = The shop computer's data folder was replaced by an older copy.
desk-chain-reason-file = Imported from a file that its phone didn't sign for this version.
desk-chain-reason-clock = The shop computer's clock had run far ahead.
desk-chain-reason-unsigned = A phone kept these entries from another one and lost the proof that they're unchanged.
desk-chain-reason-unknown = This phone was never paired here.
desk-chains-after = It says it continues { $phone }.
desk-chains-entries =
    { $count ->
        [one] 1 entry, arrived { $when }.
       *[other] { $count } entries, the last arrived { $when }.
    }
desk-chains-all-excluded = All of it is excluded now.
desk-chains-the-shop = The shop
desk-chains-a-car = A car
desk-chains-confirm = Confirm
desk-chains-confirm-phone = Confirm: { $phone }
desk-chains-exclude = Exclude all of it
desk-chains-exclude-phone = Exclude all of it: { $phone }
desk-chains-include-phone = Include again: { $phone }
desk-chains-look = See its entries
desk-chains-look-phone = See its entries: { $phone }
desk-chains-none = Nothing to confirm.
desk-chains-excluded-caption = Entries that don't count because you excluded them
desk-chains-excluded-by-owner = excluded by the owner
desk-chains-from = { $first } and later
desk-chains-include-from = Include again: { $phone }, entry { $first }
desk-chains-unknown = No entries of that phone are here.
desk-chains-gone = This entry isn't here anymore. Nothing was changed.
desk-chains-owners-only = Only an owner can look at these.

desk-chain-title = Entries of { $phone }
desk-chain-why =
    { $count ->
        [one] 1 entry. Excluding it excludes all that this phone records later, too. For one entry alone, use the car's history.
       *[other] { $count } entries, oldest first. Excluding one excludes all that this phone recorded after it. For one entry alone, use the car's history.
    }
# $first: a number
desk-chain-caption = Entries from { $first } on
desk-chain-excluded = Excluded
desk-chain-exclude = Exclude
desk-chain-exclude-from = Exclude from here on
desk-chain-exclude-from-entry = Exclude from here on: entry { $number }
desk-chain-include = Include again
desk-chain-include-entry = Include again: entry { $number }
desk-paging-earlier = Earlier
desk-paging-later = Later

desk-clocks-title = Clocks that ran ahead
desk-clocks-why = These entries carry a time that hadn't come yet. They count from when they arrived. Set that phone's clock.
desk-clocks-ahead = Ahead by

## Import of what a phone saved, or of an exported record

desk-import-title = Import a file
desk-import-why = What a phone handed over as a file, what it saved because it couldn't send it, or a full record (JSON) exported from a desk.
desk-import-file = File from a phone or a desk
desk-import-how = A phone's file is shown first: what's in it, and that its signatures hold. What the phone signed joins what that phone sent, and importing twice is safe. What no phone has signed, only an owner can import.
desk-import-go = Import
desk-import-open = Open the car
desk-import-waiting = Waiting for a decision
desk-import-by = brought by { $who }
desk-import-owner-only = What no phone has signed, only an owner can import. Files wait here for a day.
desk-import-another = Import another file
desk-import-left-out = “{ $name }” wasn't imported. Nothing was changed.
desk-import-all-here = Everything in this file is already here. Nothing was changed.
desk-import-taken =
    { $entries ->
        [one] 1 entry
       *[other] { $entries } entries
    } and { $photos ->
        [one] 1 photo
       *[other] { $photos } photos
    } imported from the phone.
desk-import-forked = The phone had gone on from an older copy of itself. Those entries are kept beside the others and wait for the owner under “Entries to confirm”.
desk-import-taken-unsigned =
    { $count ->
        [one] 1 entry imported. It's marked as not signed until it's confirmed under “Entries to confirm”.
       *[other] { $count } entries imported. They're marked as not signed until they're confirmed under “Entries to confirm”.
    }
desk-import-photos =
    { $count ->
        [one] 1 photo saved.
       *[other] { $count } photos saved.
    }
# $why: what is wrong with the first of them
desk-import-photos-refused =
    { $count ->
        [one] 1 photo or recording couldn't be kept. { $why }
       *[other] { $count } photos and recordings couldn't be kept. The first: { $why }
    }
desk-import-signature-stays = Its signature stays with the original: keep the file, it's the proof.
desk-import-checklist-wrong = The checklist in the file isn't the one its hash names: the file was changed.
desk-import-not-waiting = This file isn't waiting here anymore: somebody decided, or the shop computer was restarted. Choose it again.
desk-import-photo-damaged = Photo { $number } of “{ $name }” is damaged. Save the file on the phone again; what was imported stays.
# $why: what the library says, in English
desk-import-not-json = “{ $name }” isn't JSON: { $why }.
desk-import-not-ours = “{ $name }” is neither a record exported from a desk nor what a phone saved.
desk-import-version = “{ $name }” is in version { $version } of its format; this computer reads versions { $from } to { $to }. Install a newer Bradawl here.
desk-import-no-batch = “{ $name }” holds no entries. Save it on the phone again.
desk-import-no-entries = “{ $name }” holds no entries.
desk-import-unreadable = “{ $name }” holds no entry this version can read.

# the file in which a phone hands over its record
desk-hand-over-title = From a phone: { $name }
desk-hand-over-checked = Checked just now: every entry is signed with the key of { $phone }, none was changed, left out or moved since, and each photo is the one that its entry names.
desk-hand-over-photos = Photos
desk-hand-over-recordings = Recordings
desk-hand-over-not-in = Photos and recordings not in it
desk-hand-over-not-in-count =
    { $count ->
        [one] 1, and it isn't on this computer either
       *[other] { $count }, and they aren't on this computer either
    }
desk-hand-over-locks = Locked
desk-hand-over-means = Imported, it joins what this phone has sent before: what's here already isn't taken in twice. If the phone is paired later, it goes on from here.
desk-hand-over-ours = This phone is ours: its entries count without another question
desk-hand-over-ours-why = Compare the number of { $phone } with the one on the phone's “Hand over” screen. Without this, its entries are marked until you confirm them under “Entries to confirm”.
desk-hand-over-take = Import
desk-hand-over-marked = This phone was never paired here, so its entries are marked until an owner confirms them under “Entries to confirm”.
desk-hand-over-missing =
    { $count ->
        [one] 1 photo or recording that these entries name isn't here yet: hand over again on the phone, with all photos.
       *[other] { $count } photos and recordings that these entries name aren't here yet: hand over again on the phone, with all photos.
    }
desk-hand-over-half = “{ $name }” isn't whole: it was cut short or damaged on its way. Nothing was imported, and the phone still has everything. Copy it again, or hand over again on the phone.
desk-hand-over-not-ours = “{ $name }” isn't a file that a phone handed over. Nothing was imported.
desk-hand-over-version = “{ $name }” is in version { $version } of its format; this computer reads version 1. Install a newer Bradawl here.
desk-hand-over-protocol = “{ $name }” comes from an app of another version than this computer's Bradawl. Bring the older one up to date. Nothing was imported, and the phone still has everything.
desk-hand-over-changed = “{ $name }” was changed after the phone signed it. Nothing was imported. Hand over again on the phone.
desk-hand-over-parts = In “{ $name }” entries are missing between others, or belong to another phone. Nothing was imported. Hand over again on the phone.
# $photo: the beginning of the photo's number
desk-hand-over-photo = In “{ $name }” photo { $photo } isn't the one that the phone took. Nothing was imported. Hand over again on the phone.

desk-waiting-title = Not signed: { $name }
desk-waiting-record = This is a record exported from a desk. Files like this carry no signature of the phones: anybody could have written it.
desk-waiting-phone = A phone saved this file, but its signature doesn't check out here: it's from another version, or it was changed. Anybody could have written it.
# $number: of the way phone and server talk
desk-waiting-protocol = (Protocol { $number })
desk-waiting-holds = What's in it
desk-waiting-entries = { $count }, { $fresh } of them new here
desk-waiting-recorded = Recorded
desk-waiting-clock = by the clock of whoever wrote it
desk-waiting-photos = Photos and recordings
desk-waiting-signatures = Signatures
desk-waiting-signatures-stay =
    { $count ->
        [one] 1, which can't be imported: keep the file
       *[other] { $count }, which can't be imported: keep the file
    }
desk-waiting-unreadable = Unreadable
desk-waiting-unreadable-stay =
    { $count ->
        [one] 1 entry this version can't record; it stays in the file
       *[other] { $count } entries this version can't record; they stay in the file
    }
desk-waiting-new = Not here yet
desk-waiting-caption = Cars the file has entries of
desk-waiting-no-car = of no car
desk-waiting-not-here = { $number }, not on this computer
desk-waiting-decide = Import it?
desk-waiting-means = Imported, these entries count like all others, and are marked as not signed wherever they show until an owner confirms them. They can be excluded later, not deleted.
desk-waiting-take = Import, marked as not signed
desk-waiting-leave = Leave it out
desk-waiting-leave-why = Nothing of the file is recorded, and it's thrown away here. To look at it again, somebody has to send it again.
desk-waiting-leave-go = Yes, throw it away
desk-waiting-owner-only = Only an owner can import this. The file waits here for a day; an owner finds it under “Import a file”.

## A report that somebody brings

desk-verify-title = Check a PDF
desk-verify-why = Drop a report here. You'll see whether it's genuine, unchanged but by somebody this shop doesn't know, or changed, and why. The file isn't kept.
# $name: of the file
desk-verify-genuine = Genuine: “{ $name }”
desk-verify-unknown = Unknown signer: “{ $name }”
desk-verify-changed = Don't trust it: “{ $name }”
desk-verify-file = Report (PDF)
desk-verify-drop = or drop the file anywhere in this frame
desk-verify-go = Check
desk-verify-sign = Sign a report that you hand over
desk-verify-the-file = the file
desk-verify-no-file = No file came through. Choose a PDF, then press “Check”.
desk-verify-no-pdf = “{ $name }” isn't a PDF.

## The shop's own checklists

desk-col-checklist = Checklist
desk-col-checks = Checks
desk-col-draft = Draft
desk-col-new-cars = New cars
desk-col-saved = Saved
desk-col-version = Version
desk-col-versions = Versions
desk-col-what-changed = What changed
desk-col-with-draft = With the draft
desk-checklists-title = Checklists
desk-checklists-why = A car keeps the version it started with. Copy a checklist to make it yours; ours stays as it is.
desk-checklists-all = All checklists
desk-checklists-ours = Bradawl's own
desk-checklists-with-updates = with each update
desk-checklists-no-versions = none yet
desk-checklists-in-use = in use
desk-checklists-version-in-use = version { $version } in use
desk-checklists-use = Use for new cars
desk-checklists-copy = Copy one
desk-checklists-from = From
desk-checklists-copy-name = Name of the copy
# an example; small letters, digits and dashes
desk-checklists-copy-hint = pickups
desk-checklists-copy-go = Copy
desk-checklists-unknown = There's no checklist of that name here.
desk-checklists-unknown-file = The checklist has no file of that name.
desk-checklists-name-wrong = “{ $name }” can't be a name. Use small letters, digits, and single dashes, 40 at most.
desk-checklists-name-taken = There's already a checklist “{ $name }”. Choose another name.
desk-checklist-title = Checklist { $name }
desk-checklist-draft-fine =
    { $count ->
        [one] The draft is fine: 1 check, version { $version }.
       *[other] The draft is fine: { $count } checks, version { $version }.
    }
desk-checklist-fine = No mistakes.
desk-checklist-faults =
    { $count ->
        [one] 1 mistake in the draft
       *[other] { $count } mistakes in the draft
    }
# $wrong: what is wrong there, a sentence
desk-checklist-fault = { $file }, line { $line }: { $wrong }
desk-checklist-place = { $file }, line { $line }:
desk-checklist-files = Files of the draft
desk-checklist-checks =
    { $count ->
        [one] 1 check
       *[other] { $count } checks
    }
desk-checklist-try = Try the draft on a car
desk-checklist-try-go = Try it
desk-checklist-try-none = No cars yet to try it on.
desk-checklist-try-faults = The draft has mistakes. Fix them first, then try it.
desk-checklist-keep = Save the draft as a version
desk-checklist-keep-go = Save version
desk-checklist-keep-faults =
    { $count ->
        [one] The draft has 1 mistake. Fix it first, then save the version.
       *[other] The draft has { $count } mistakes. Fix them first, then save the version.
    }
desk-checklist-same = This draft is the same as a version you saved before.
desk-checklist-no-version = There's no such version.
desk-checklist-too-large = { $file } is over { $most } kB. Split the area.
desk-checklist-versions-caption = Versions, newest first
desk-checklist-no-versions = None yet. Save the draft as a version, then new cars can use it.
desk-checklist-use-version = Use for new cars: version { $version }
desk-checklist-edit = Edit from it
desk-checklist-edit-why = The files you edit become this version's. What you changed since you last kept a version is overwritten.
desk-checklist-edit-go = Yes, bring it back
desk-checklist-saved = Saved in the draft.
desk-checklist-save = Save in the draft
desk-checklist-save-why = A text with mistakes is saved too, but can't become a version.
desk-checklist-text = Text (YAML)
desk-checklist-no-answer = Not checked: the shop computer doesn't answer.

# A draft tried on a car
desk-trial-title = { $name }, tried on { $car }
desk-trial-why = Nothing is recorded: the car keeps the checklist it started with.
desk-trial-same = The draft is that very checklist.
desk-trial-drive-now = Drive home, now: { $answer }
desk-trial-drive-draft = Drive home, with the draft: { $answer }
desk-trial-changed =
    { $count ->
        [one] 1 check is rated differently
       *[other] { $count } checks are rated differently
    }
desk-trial-none = Every check is rated as it is now.
# stands where a rating would
desk-trial-not-asked = not asked
desk-trial-not-there = not in the checklist

# ---- Wires ---------------------------------------------------------------------------------------
desk-wires-why = Every wire and bunch that was written down, what it carries and what it risks. Their number and kind set the hours and parts of the repair.
desk-wires-of = Wires: { $title }
desk-wires-seen = Seen
desk-wires-risk = Risk
desk-wires-figures = Worked out
desk-wires-edit = Add or change: { $title }
desk-wires-new-one = One more wire
desk-wires-new-bunch = One more bunch
desk-wires-take-back = Take back: { $wire }
desk-wires-none = No check of this car takes wires.
desk-wires-gone = This check takes no wires anymore. Load the page again.
desk-wires-no-size = Wire size: “{ $typed }” is no AWG size. Write 14, 1/0 or 2/0, or choose mm².
desk-pieces-by-wire =
    { $count ->
        [one] One wire counted
       *[other] { $count } wires counted
    }

## The parts sheet: one line for each part, below the job that it belongs to

desk-tab-parts = Parts
desk-path-parts = Parts list: { $what }
desk-parts-help = Double-click or press Enter to change a cell; every change saves itself. Paste rows straight from a spreadsheet. In Price, type one firm price (47.83) or a guess (40-60, or low/likely/high: 40/55/80).
desk-parts-price-help = One firm price like 47.83, or a guess: 40-60, or low/likely/high like 40/55/80.
desk-parts-no-script = Without scripts, change one line at a time: press Edit beside it.
desk-parts-caption = Parts list: each job of the plan, and below it the parts it takes
desk-parts-of-findings = { $job } · { $findings }
desk-parts-loose = Not for one job
desk-parts-new = New line
desk-parts-edit = Edit
desk-parts-back = Back to the parts list
desk-parts-no-line = That line isn't on this car's parts list. Go back to the list and look for it there.
# $path: the name of a cell, for programs
desk-parts-no-cell = “{ $path }” isn't a cell you can change here. Reload the page and try again.

# Headings of the columns
desk-parts-col-what = Part or work
desk-parts-col-number = Part number
desk-parts-col-also-fits = Also fits
desk-parts-col-quantity = Qty
desk-parts-col-need = Need
desk-parts-col-state = Status
desk-parts-col-price = Price each
desk-parts-col-total = Total
desk-parts-col-vendor = Vendor
desk-parts-col-where = Where found
desk-parts-col-due-on = Due
desk-parts-col-origin = Kind
desk-parts-col-condition = Condition
desk-parts-col-freight = Freight
desk-parts-col-core = Core charge
desk-parts-col-asked-on = Asked
desk-parts-col-reply = Reply
desk-parts-col-return-by = Return by
desk-parts-col-old-kept-at = Old one kept
desk-parts-col-hours-planned = Hours planned
desk-parts-col-hours-done = Hours done
desk-parts-col-note = Note
desk-parts-col-job = Job

# What may be picked
desk-parts-need-needed = Needed
desk-parts-need-wanted = Wanted
desk-parts-state-needed = To find
desk-parts-state-asked = Asked
desk-parts-state-quoted = Quoted
desk-parts-state-ordered = Ordered
desk-parts-state-arrived = Arrived
desk-parts-state-fitted = Fitted
desk-parts-state-returned = Returned
desk-parts-origin-original = Original
desk-parts-origin-new = New
desk-parts-origin-used = Used
desk-parts-origin-reproduction = Reproduction

# An amount that is a guess
desk-parts-about = about { $amount }
# Two amounts, the lower first
desk-parts-range = { $low }–{ $high }
desk-parts-nothing = nothing

# Sums above the sheet
desk-parts-total-needed = Needed
desk-parts-total-wanted = Wanted
desk-parts-total-open = Still to order
desk-parts-total-committed = Ordered or here
desk-parts-total-unpriced = No price yet

# What a person typed that cannot be kept. $what is the heading of the column
desk-parts-price-wrong = { $what }: “{ $typed }” isn't a price. Enter one like 47.83, a range like 40-60, or low/likely/high like 40/55/80.
# $choices: a list that ends in "or"
desk-parts-choice-wrong = { $what }: “{ $typed }” isn't one of { $choices }.
desk-parts-job-wrong = { $what }: “{ $typed }” isn't a job of this car's plan. Pick one from the list, or leave it empty.
desk-parts-count-wrong = { $what }: “{ $typed }” isn't a quantity. Enter a number above 0, like 4 or 2.5.
desk-parts-other = { $what }: somebody else changed this to { $stands } while you were typing. Yours is still below; save again to keep it.

# Above the sheet
desk-parts-search = Search
desk-parts-any = Any
desk-parts-sort = Sort by
desk-parts-by-job = Job
desk-parts-add = Add a line
# Beside a job, in the narrow first column
desk-parts-add-short = + Add
desk-parts-add-to = Add a line to { $job }
desk-parts-undo = Undo
desk-parts-redo = Redo
desk-parts-print = Print
desk-parts-more = Filter, sort, columns
desk-parts-columns = Columns shown
# $shown, $all: how many lines
desk-parts-shown = { $shown } of { $all } lines shown
desk-parts-bulk = Change the picked lines
desk-parts-picked = Lines picked: { $count }.
desk-parts-bulk-set = Set
desk-parts-bulk-value = New value
desk-parts-bulk-apply = Apply to all
desk-parts-bulk-remove = Remove from the list
desk-parts-remove = Remove this line from the list
desk-parts-pick = Pick { $what }
desk-parts-pick-all = Pick all lines shown

# Below the sheet's tools, as it saves
desk-parts-saving = Saving…
desk-parts-saved = All changes saved
desk-parts-unsaved = Unsaved changes: { $count }
desk-parts-offline = No connection. Unsaved changes: { $count }. They are kept in this browser and saved when the connection is back.
desk-parts-signed-out = You've been signed out. Unsaved changes: { $count }. They are kept in this browser; sign in and they will be saved.
desk-parts-sign-in = Sign in
desk-parts-refused = The server couldn't save. Unsaved changes: { $count }. They are kept in this browser and tried again.
desk-parts-replanned = The plan's jobs changed while this page was open.
desk-parts-reload = Reload to see them
# In a cell that two people changed
desk-parts-yours = Yours:
desk-parts-theirs = Theirs:
desk-parts-keep-mine = Keep mine
desk-parts-take-theirs = Take theirs

# Lists kept elsewhere, read into the parts list

desk-parts-list-title = Read in a list
desk-parts-list-why = A parts list from a spreadsheet (XLSX) or a text file (CSV), up to { $most } rows and { $megabytes } MB. You'll see what each row becomes before anything is saved.
desk-parts-list-file = XLSX or CSV file
desk-parts-list-look = Look at it
desk-parts-list-before = Lists read in
desk-parts-list-added =
    { $count ->
        [one] { $count } line added on { $date }.
       *[other] { $count } lines added on { $date }.
    }
desk-parts-list-gone = Taken off again.
desk-parts-list-all-changed = Every line was changed since, so there is nothing to undo.
desk-parts-list-changed =
    { $count ->
        [one] { $count } line was changed since; undoing leaves it on the list:
       *[other] { $count } lines were changed since; undoing leaves them on the list:
    }
desk-parts-list-undo =
    { $count ->
        [one] Undo: take { $count } line off
       *[other] Undo: take { $count } lines off
    }
desk-parts-list-nameless = no name
desk-parts-list-unknown = That list isn't among those read in for this car. Go back and look for it there.
desk-parts-list-found =
    { $count ->
        [one] { $count } line to add. Nothing is saved yet.
       *[other] { $count } lines to add. Nothing is saved yet.
    }
desk-parts-list-cut = The file is longer than { $most } rows. What comes after them is left out; read it in as a second file.
desk-parts-list-headings = What each heading means
desk-parts-list-headings-why = What you choose is remembered for the next list with these headings.
desk-parts-list-into-note = Into the note
desk-parts-list-left-out = Leave out
desk-parts-list-near = A guess. Please check it.
desk-parts-list-column-n = Column { $n }
desk-parts-list-head = Row with the headings
desk-parts-list-head-help = 0 if there are none.
desk-parts-list-sheet = Sheet
desk-parts-list-encoding = Letters
desk-parts-list-encoding-help = Change this if letters like é or ½ look wrong below.
desk-parts-list-encoding-utf-8 = Unicode (UTF-8)
desk-parts-list-encoding-windows-1252 = Windows, Western
desk-parts-list-encoding-windows-1250 = Windows, Central European
desk-parts-list-encoding-macintosh = Older Mac
desk-parts-list-encoding-utf-16le = Unicode (UTF-16)
desk-parts-list-again = Read it this way
desk-parts-list-rows = What each row becomes
desk-parts-list-row = Row
desk-parts-list-line = Line
desk-parts-list-outcome = Outcome
desk-parts-list-out = Leave out
desk-parts-list-out-row = Leave out row { $n }
desk-parts-list-shown = { $shown } of { $count } rows are shown: the first ones, those already on the list, and those that couldn't be read in full.
desk-parts-list-is-added = Added
desk-parts-list-is-out = Left out
desk-parts-list-added-but = Added; this goes into its note as typed:
desk-parts-list-known = Already on the list.
# $what: a heading, $typed: what stands below it
desk-parts-list-noted = { $what }: { $typed }
desk-parts-list-note-cut = The note is longer than { $most } letters; the rest is left out.
desk-parts-list-add =
    { $count ->
        [one] Add { $count } line
       *[other] Add { $count } lines
    }
desk-parts-list-other = Choose another file
desk-parts-list-twice = { $headings } can't both fill { $column }. Choose which one does.
desk-parts-list-nothing = There is no line to add. Choose what the headings mean, or another file.
desk-parts-list-empty = “{ $name }” is empty. Choose a file with at least one row.
desk-parts-list-old-workbook = “{ $name }” is a workbook of an older kind. Save it as XLSX or CSV, then choose that file.
desk-parts-list-no-workbook = “{ $name }” can't be read as a workbook. Open it in a spreadsheet, save it as XLSX or CSV, then choose that file.
desk-parts-list-unpacked = “{ $name }” holds more than { $most } MB once it is unpacked. Save just the list as CSV, then choose that file.
desk-parts-list-no-list = “{ $name }” is neither XLSX nor text. Save the list as XLSX or CSV, then choose that file.
desk-parts-list-no-csv = “{ $name }” can't be read as CSV ({ $why }). Save the list again, then choose that file.

# Other names that people give the columns, with | between them; they are looked for, never shown

desk-parts-also-what = part | item | description | part name | name | part description | work | component
desk-parts-also-need = needed or wanted | need or want
desk-parts-also-state = state | part status
desk-parts-also-quantity = quantity | count | pieces | pcs | how many
desk-parts-also-price = price | unit price | each | cost each | unit cost | quote | estimate | price per piece
desk-parts-also-vendor = supplier | seller | store | shop | bought from
desk-parts-also-number = part no | part # | part num | p/n | pn | number | sku | stock number
desk-parts-also-where = found at | link | url | web address | location
desk-parts-also-due-on = due date | eta | delivery date
desk-parts-also-origin = new or used
desk-parts-also-condition = cond
desk-parts-also-also-fits = fits | interchange | interchange number | cross reference | alternate part number
desk-parts-also-freight = shipping | postage | shipping cost
desk-parts-also-core = core | core deposit | deposit
desk-parts-also-asked-on = asked on | date asked | inquired
desk-parts-also-reply = answer | response
desk-parts-also-return-by = return date | returnable until
desk-parts-also-old-kept-at = old part kept | where the old one is
desk-parts-also-hours-planned = hours | labor hours | planned hours | estimated hours
desk-parts-also-hours-done = actual hours | hours spent | hours worked
desk-parts-also-note = notes | comment | comments | remarks
desk-parts-also-job = job name | repair | project

## Money: the ledger of a car and of the shop

desk-hours = { $hours } h
desk-money-entries = Entries
desk-money-add = Add an entry
desk-money-save = Save the entry
desk-money-date = Date
desk-money-kind-part = Part
desk-money-kind-labor-mine = My labor
desk-money-kind-labor-paid = Paid labor
desk-money-kind-fee = Fee
desk-money-kind-transport = Transport
desk-money-kind-refund = Refund
desk-money-what = What
desk-money-amount = Amount
desk-money-amount-help = What the receipt says in all, freight and core charge included. Leave empty for your own labor.
desk-money-hours-help = For labor.
desk-money-no-job = No job
desk-money-and-job = And job
desk-money-line = Line of the parts list
desk-money-vendor = Vendor
desk-money-part-number = Part number
desk-money-quantity = Quantity
desk-money-freight = Of that, freight
desk-money-core = Of that, core charge
desk-money-core-help = The deposit that comes back with the old part.
desk-money-paid-by = Paid by
desk-money-paid-by-help = Leave empty if you paid.
desk-money-me = Me
desk-money-receipt = Photo of the receipt
desk-money-see-receipt = Receipt { $n }
desk-money-number-is = no. { $number }
desk-money-pieces = quantity { $count }
desk-money-of-freight = freight { $amount }
desk-money-of-core = core charge { $amount }
desk-money-by = paid by { $name }
desk-money-share-of = share of a { $amount } order for { $count } cars
desk-money-split = Split this order over several cars
desk-money-split-help = Check the cars. Shares left empty are equal, to the cent; what doesn't divide stays with this car. A share can name that car's jobs now, or later on that car's page.
desk-money-share = Share
desk-money-share-of-car = Share of { $car }
desk-money-job-of-car = Job of { $car }
desk-money-other-job-of-car = Another job of { $car }
desk-money-share-job-gone = One of the jobs picked for another car isn't in its plan anymore. Pick again.
desk-money-shares-elsewhere = Shares of this order on other cars
desk-money-shares-elsewhere-help = Open a share to change its amount or its jobs. Shares that no longer come to what was paid are named on the shop's page.
desk-money-shares-over = The shares come to { $amount } more than the order of { $total }.
desk-money-shares-short = The shares leave { $amount } of the order of { $total } to nobody.
desk-money-all = All
desk-money-narrow = Show these
desk-money-show-all = Show all
desk-money-shown =
    { $count ->
        [one] One entry: { $amount }
       *[other] { $count } entries: { $amount }
    }
desk-money-none = No entries. Add what you pay and the hours you work, with a photo of each receipt.
desk-money-change = Change
desk-money-change-of = Change { $what }
desk-money-back = All entries
desk-money-correct = Change an entry
desk-money-correct-why = What you save is an entry of its own that takes the place of this one. Both stay in the ledger.
desk-money-save-correction = Save the correction
desk-money-put-back = Put it back
desk-money-withdraw = Take it back
desk-money-withdraw-why = It counts in no sum anymore, and stays in the ledger, crossed out.
desk-money-taken-back = taken back
desk-money-history = Everything written
desk-money-written = { $when }, { $who }
desk-money-replaced =
    { $count ->
        [one] Replaced one entry
       *[other] Replaced { $count } entries
    }
desk-money-conflict =
    { $count ->
        [one] Another correction was written at the same time.
       *[other] { $count } other corrections were written at the same time.
    }
desk-money-other-says = { $who } wrote:
desk-money-both = Two corrections stand
desk-money-both-help = The first one counts for now. Save what is right: it takes the place of them all.
desk-money-changed = Somebody corrected this entry since you opened it. Both are shown. Nothing was overwritten: save again if yours is right.
desk-money-no-entry = There's no such entry in this car's ledger.
desk-money-future = { $date } hasn't come yet. Enter it when it's paid.
desk-money-amount-missing = Enter the amount on the receipt, such as { "$" }47.83.
desk-money-hours-missing = Enter the hours you worked, such as 1.5.
desk-money-parts-of-amount = Freight and core charge are part of the amount; together they can't be more than it.
desk-money-say-what = Say what it was: a word, a vendor or a job.
desk-money-expected = Expected
desk-money-spent = Spent
desk-money-committed = Ordered, to pay
desk-money-still = Still expected
desk-money-total = Total
desk-money-left = Left to spend
desk-money-of-budget = of { $budget }, car included
desk-money-mine-partner = { $mine } mine, { $partner } others'
desk-money-my-hours = My hours
desk-money-hours-left = { $hours } to go
desk-money-hours-done = Hours done
desk-money-hours-to-go = Hours to go
desk-money-deposits = Core charges out
desk-money-rule = Total = spent + ordered and not yet paid + still expected. Still expected = the estimate less what's spent and ordered, never below zero; nothing once a job is finished. Left to spend = budget less the car, spent and ordered.
desk-money-rounded = What was paid, ordered or quoted is shown to the cent. Estimates are rounded for reading: to $5 below $100, to $10 below $1,000, to $50 from there, hours to a quarter, from ten hours on to a half. Sums are worked out before that, so a column may seem a few dollars off.
desk-money-labor-mine = Your own hours cost no cash: they stand beside the money.
desk-money-labor-paid = The hours are billed at the labor rate, as “What it's for” says.
desk-money-by-area = By area
desk-money-by-job = By job
desk-money-area = Area
desk-money-no-area = Other
desk-life-title = Where the car stands
desk-life-now = Now: **{ $state }**.
desk-life-frozen = Its top price and its place under “Compare cars” stay as they stood when you bought it ({ $date }).
desk-life-state = State
desk-life-since = Since
desk-life-price = Price
desk-life-price-help = What you paid, asked or got.
desk-life-price-missing = Enter the price it was bought or sold for.
desk-life-price-paid = Paid for the car
desk-life-save = Save
desk-life-looking = Looking
desk-life-passed = Passed
desk-life-bought = Bought
desk-life-in-shop = In the shop
desk-life-waiting = Waiting on parts
desk-life-on-road = On the road
desk-life-for-sale = For sale
desk-life-sold = Sold
desk-life-parts-car = Parts car
desk-life-outcome = Sold for { $price } on { $date }: { $result } after the car and everything spent on it.
desk-life-outcome-hours = With your { $hours } at { $rate } an hour: { $result }.
desk-estimates-title = How good were our estimates
desk-estimates-rule = From ten finished jobs of a kind on, its low, likely and high figures are multiplied by the middle one (the median) of what was paid divided by what was expected: never by less than 0.5 or more than 2. Hours follow your own hours in the same way. A quote, and a figure that somebody typed, stay as they are.
desk-estimates-what = A job counts once it is finished and has an estimate and a cost. Paid is cash for parts, fees and transport, less refunds; bills for labor are left out of it. Guessed and paid are medians. A shift changes plans, Fix or replace and prices at the desk; a report keeps the checklist's figures, and so does a car's price once it is bought.
desk-estimates-on = Estimates follow what your jobs came to.
desk-estimates-off = Estimates stay as the checklist has them.
desk-estimates-switch-off = Leave estimates as they are
desk-estimates-switch-on = Let estimates follow
desk-estimates-none = No finished job has both an estimate and a cost yet. Log work under “Done” and what it cost under “Money”.
desk-estimates-by-area = By area
desk-estimates-by-kind = By kind of job
desk-estimates-one-kind = Jobs: { $job }
desk-estimates-misses = Largest misses
desk-estimates-left-out = Left out
desk-estimates-area = Area
desk-estimates-jobs = Jobs
desk-estimates-guessed = Guessed
desk-estimates-paid = Paid
desk-estimates-within = Within low–high
desk-estimates-ratio = Paid ÷ guess
desk-estimates-hours-guessed = Hours guessed
desk-estimates-hours-took = Hours taken
desk-estimates-hours-ratio = Hours ÷ guess
desk-estimates-count = Counts
desk-estimates-share =
    { $count ->
        [one] { $percent } of { $count } job
       *[other] { $percent } of { $count } jobs
    }
desk-estimates-shift-parts = Parts are counted at { $percent }
desk-estimates-shift-hours = Hours are counted at { $percent }
desk-estimates-leave-out = Leave out
desk-estimates-leave-out-of = Leave out: { $job }, { $car }
desk-estimates-take-in = Take back in
desk-estimates-take-in-of = Take back in: { $job }, { $car }
desk-estimates-gone = This job is no longer finished, or has no cost any more. Load the page again.
desk-estimates-neither = This does not say whether estimates follow. Load the page again and choose there.
desk-estimates-here =
    { $count ->
        [one] Here: guessed { $guessed }, paid { $paid }, { $count } job.
       *[other] Here: guessed { $guessed }, paid { $paid }, { $count } jobs.
    }
desk-estimates-here-hours =
    { $count ->
        [one] Guessed { $guessed }, took { $took }, { $count } job.
       *[other] Guessed { $guessed }, took { $took }, { $count } jobs.
    }
desk-estimates-follows = Follows what such jobs came to
desk-shop-money-title = Money
desk-shop-money-cars = Cars
desk-shop-money-none = No car has any money on it yet. Open a car and add what you pay under “Money”.
desk-shop-money-outcome = { $amount } result
desk-shop-money-differs = An order of { $total } was split, but its shares now come to { $shares }: { $cars }.
desk-compare-paid = Paid for it
desk-compare-worked = { $amount } spent, ordered and still expected
desk-path-ledger = Ledger entry
desk-path-life-state = Where the car stands
