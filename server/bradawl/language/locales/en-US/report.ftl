# The condition report (PDF), the pages that make and sign it, and what is said when one is checked.
# It is read on paper by strangers: whole, plain sentences.

# ---- the first page ----

# $edition is "condition" (for anyone, without money), "repaired" (the same after the repair) or
# "partner" (the shop's own, with money)
report-kind =
    { $edition ->
        [partner] Condition report, our copy
        [repaired] Condition report after repair
       *[other] Condition report
    }
# The title of the file
report-title = { $kind }: { $car }
report-issued = { $kind } { $number }, { $date }
# At the foot of every page
report-running-foot = { $car } · { $kind } { $number } · look-over { $visit } · { $date }
report-page-of = page { $page } of { $pages }
report-page = page { $page }
report-summary = Summary
report-car = Car
report-car-unnamed = Car without a recorded make
report-replaces = This report replaces report { $number } of { $date }.
report-verdict-signed = Signed { $date }: { $verdict } Judged today: { $now }
report-not-signed = Nobody has signed this look-over yet: what it says may still change.
# $link is the name of the chapter, as a link
report-changed-since =
    { $count ->
        [one] One entry was changed or added after signing. It is marked, and listed under { $link }.
       *[other] { $count } entries were changed or added after signing. They are marked, and listed under { $link }.
    }
report-jobs-since =
    { $count ->
        [one] One job was done since the look-over: see { $link }.
       *[other] { $count } jobs were done since the look-over: see { $link }.
    }

report-fact-vin = VIN
report-fact-registration = Plate
report-fact-odometer = Odometer
report-fact-color = Color
report-fact-vin-check = VIN check
report-fact-build = Build
report-fact-inspector = Looked over by
report-fact-when = When
report-fact-where = Where
report-fact-seller = Seller
report-fact-uses = What it's for
report-fact-home = Drive home
report-not-recorded = not recorded
report-vin-check-none = not possible, no VIN was recorded
report-build-fuel-petrol = gasoline
report-build-fuel-diesel = diesel
report-build-fuelling-injection = fuel injection
report-build-fuelling-carburettor = carburetor
report-build-gearbox-manual = manual transmission
report-build-gearbox-automatic = automatic transmission
report-build-gearbox-cvt = CVT
report-build-gearbox-dual-clutch = dual-clutch transmission
report-build-drive-front = front-wheel drive
report-build-drive-rear = rear-wheel drive
report-build-drive-all = all-wheel drive
report-build-structure-unibody = unibody
report-build-structure-frame = body on frame
report-home-dark = in the dark
report-home-wet = in the wet
report-home-motorway = on the highway

report-drive-home = The drive home
# Below the answer of today; $verdict: the four answers as they stood then
report-bought-then = As it was bought on { $date }: { $verdict }
report-before-work = Before the work on it: { $verdict }
report-drive-reasons = The drive home: every reason
# $numbers are the numbers of findings, as links
report-drive-findings = Decided by the findings { $numbers }.
# $link is the heading over what nobody checked
report-drive-unseen =
    { $count ->
        [one] It depends on one check that nobody made: in bold where those are named ({ $link }).
       *[other] It depends on { $count } checks that nobody made: in bold where those are named ({ $link }).
    }

report-grade-not-rated = Recorded, not rated
# $grade: a rating. Over the list of what has it, and in place of that list
report-faults = { $grade }: { $count }
report-faults-none = { $grade }: nothing found in what was checked.
# before the list in the same line
report-faults-fixed = Fixed since it was found: { $count }
report-faults-line = { $grade }: { $count }.

report-coverage = How much of the car was checked
# $share is a figure with its percent sign
report-coverage-share = { $seen } of { $total } checks were made; weighed by what the car is for, that is { $share }.
report-coverage-plain = { $seen } of { $total } checks were made.
# The table of the first page
report-score-worst = The worst of it
report-score-others = All other areas
report-score-fixed =
    { $count ->
        [one] One fault was found, and is fixed.
       *[other] { $count } faults were found, and are fixed.
    }
report-score-clean = What was checked is OK.
report-score-unseen = Nobody checked it.
report-pictures = Where it is, and what matters most
# A photo that stands on one of the first pages, as a link before its caption
report-photo-in-front = Its photo is among the first pages.
# $parts lists what was not checked, each with the reason; $link leads to the whole list
report-unseen = Not checked: { $parts }.
report-unseen-others =
    { $count ->
        [one] The other one is listed by name.
       *[other] The other { $count } are listed by name.
    }
report-unseen-rest = { $count } in { $areas } more areas
report-unseen-part = { $titles } ({ $why })

# ---- areas and findings ----

report-area-unknown = Recorded, but not on this checklist
# How many checks of an area have which grade; listed one after another
report-count-dangerous = { $count } unsafe
report-count-major =
    { $count ->
        [one] { $count } needs fixing
       *[other] { $count } need fixing
    }
report-count-minor = { $count } minor
report-count-none = { $count } OK
report-count-uninspected = { $count } not checked
report-untouched-area = { $title } ({ $count })
report-sound-line = { $title } { $text }
# A check without a fault of which nothing else was recorded
report-sound-checked = checked
# $word is a grade, $edge a figure with its unit
report-limit-below = { $word } below { $edge }
report-limit-above = { $word } above { $edge }
report-limit-outside = { $word } outside { $low } to { $high }
# A limit with its source: a law, a standard
report-limit-source = { $limit } ({ $source })
report-edge = { $shown } ({ $own })
report-labeled = { $label }: { $text }
report-at-place = { $title }, { $place }
report-changed = Changed after signing; see { $link }.
report-overruled = Measured: { $measured }. The inspector rated it { $given }: { $why }
report-no-reason = no reason given
report-note = Note: { $text }
report-reading-other = { $text } by the other reading
report-paint-usual = all original
report-other-grade = Somebody else rated it { $grade } without seeing this.
report-other-text = Somebody else wrote, without seeing this: { $text }
report-other-reading = Somebody else measured { $text } without seeing this.
report-other-reading-at = Somebody else measured { $text } at { $place } without seeing this.
report-unseen-ungraded = something was recorded, and nobody rated it
report-unseen-no-reason = no reason given
report-photo-gap = A photo belongs here and cannot be shown: { $why }.
report-photo-gap-caption = A photo belongs here and cannot be shown: { $why }. It was to show: { $caption }
report-photo-not-here = it has not arrived from the phone
report-photo-unreadable = its file could not be read

# ---- drawings ----

report-map-left = left side
report-map-right = right side
report-map-top = from above
report-map-finish-original = original paint
report-map-finish-repainted = repainted
report-map-finish-filler = filler
report-map-finish-thin = thin paint
report-map-finish-no-reading = no steel found
report-map-tap-rust = rust spot
report-map-tap-dent = dent
report-map-tap-repair = old repair
report-map-key = { $number } { $grade }: { $title }
report-map-key-nowhere = { $number } { $grade }: { $title } (not on the map)
report-map-film = The figures on the panels are paint thickness. { $baseline }
report-chart-compression = Compression in { $unit } by cylinder. Dashed line: { $rule }.
# $names lists the numbers of cylinders
report-chart-compression-low =
    { $count ->
        [one] Low: cylinder { $names }.
       *[other] Low: cylinders { $names }.
    }
report-chart-compression-wet = Compression in { $unit } by cylinder, solid dry, dashed with a little oil. Dashed line: { $rule }.
# $share is a figure with its percent sign
report-chart-compression-rule = { $share } of the highest: { $figure }
report-chart-fuel = Fuel pressure in { $unit }; a heavy tick is what to expect.
report-chart-fuel-open = regulator hose off
report-chart-fuel-idle = warm idle
report-chart-fuel-hold-start = key off
report-chart-fuel-hold-end = after the wait
report-chart-fuel-clamp-return = return clamped
report-chart-fuel-clamp-supply = supply clamped
report-chart-fuel-expected = expect { $figure }
report-chart-tread = Tread depth in { $unit }, across each tire as seen from behind.
report-chart-cost = Across: cost of the work. Up: the chance that it costs no more.
report-chart-cost-mark = { $mark }: { $amount }
report-chart-assembly = Dashed: the whole assembly, { $amount }.
report-chart-fixing = Across: more pieces that fail. The band is fixing them one by one.

# ---- money: the shop's own copy ----

report-money = What it costs and what to pay
report-money-working = How we got there
report-price = The price
report-price-value = Value when done
report-price-history = less what its history takes off
report-price-work = less repairs and papers, about
report-price-unseen = less what we set aside for what we didn't see
report-price-cushion = less cushion
report-price-top = Top price
report-price-none = Not worth it at any price
report-price-open = Open at
report-price-asking = Asking price
report-price-paid = Price paid
report-price-as-bought = This is the car as it was bought on { $date }: work and findings since then don't change its price.
report-price-before-work = This is the car as it was before the work on it.
# $rate is money for an hour
report-assumed-rate = Assumed, because nobody said: a labor rate of { $rate } an hour.
report-assumed-margin = Assumed, because nobody said: the cushion.
report-assumed-both = Assumed, because nobody said: the cushion, and a labor rate of { $rate } an hour.
report-price-reasons = Reasons to pay less
# $group: "Safety"; $amount: what its repairs come to
report-price-reasons-group =
    { $count ->
        [one] { $group }, { $amount } (1 reason)
       *[other] { $group }, { $amount } ({ $count } reasons)
    }
# $said: a reason as a sentence; $where: "left front"
report-price-reason-at = { $said } ({ $where })
report-cost-curve = How sure the cost is
report-cost-curve-how = P80 means: four times out of five the work costs no more than that. Each repair has a low, a likely and a high figure; the curve adds them up with their spread. Part of the spread is shared: where prices run high, they run high for all of it.
report-repairs = Repairs
report-repairs-none = Nothing that was found needs work.
report-repairs-all = All of it
report-repairs-unpriced = No price yet: { $titles }.
report-column-repair = Repair
report-column-likely = Likely
report-column-range = From, to
report-range = { $low }–{ $high }
# Why a job stands where it stands, and in which period
report-job-why = { $why }, { $when }
report-kind-mend = fix
report-kind-part = part
report-kind-assembly = assembly
report-kind-paper = paperwork
report-kind-maintenance = maintenance
report-unseen-money = Set aside for what we didn't see
report-unseen-money-rest =
    { $count ->
        [one] { $count } smaller one
       *[other] { $count } smaller ones
    }
report-unseen-money-all = Set aside
report-column-chance = Chance of a fault
report-column-amount = Set aside
report-jobs = Job list
report-jobs-order = Safety first, then what keeps it running, then what stops decay, then comfort and looks; and no job before what it needs.
report-column-job = Job
report-need = need
report-want = want
report-fix-or-replace = Fix or replace
# $failed lists the checks that failed, by their titles
report-tip-mend = Fixing, today. Failed: { $failed }.
report-tip-assembly = The whole assembly, today. Failed: { $failed }.
report-tip-with-chances = With the chance of more failures counted in, it's the other way around.
report-tip-failures =
    { $count ->
        [one] One more failure, and replacing wins.
       *[other] { $count } more failures, and replacing wins.
    }
report-tip-failures-between = { $least } to { $most } more failures, and replacing wins.

# ---- what follows the areas ----

report-not-checked = Not checked, and why
report-not-checked-area = { $area }: { $titles }
# $area: one in which nothing at all was checked
report-not-checked-whole = { $area }, nothing checked: { $titles }
report-notes-room = Room for your own notes, by hand. They are no part of the report.
report-not-checked-meaning = What nobody checked is unknown, and unknown is not OK. What the first page names is not repeated. Bold: the drive home depends on it.
report-column-area = Area
report-outcome = What became of what was found
report-outcome-brief = Faults found: { $found }. Fixed and checked again: { $fixed }. Better: { $better }. Worked on and not checked again: { $unproven }. Known and left alone: { $left }. As seen on { $date }; this is no warranty.
report-outcome-meaning = As seen on { $date }; this is no warranty. What was found was recorded before the repair and signed at the car. What was done since, the shop entered, and only the shop vouches for it.
report-outcome-fixed = Fixed and checked again: { $count }
report-outcome-better = Better than it was found: { $count }
report-outcome-unproven = Worked on, not checked again: { $count }
report-outcome-left = Known and left alone: { $count }
report-outcome-found = { $number } { $title }, found { $grade }. { $reason }
report-outcome-found-on = { $number } { $title }, found { $grade } on { $date }. { $reason }
report-outcome-not-fixed = Not fixed.
report-outcome-not-proven = Not proven fixed.
report-outcome-receipts =
    { $count ->
        [one] one photographed receipt
       *[other] { $count } photographed receipts
    }
report-outcome-hidden = a photo or receipt that this copy leaves out
report-outcome-job = { $title }, { $date }.
report-outcome-job-by = { $title }, { $date }, by { $name }.
report-outcome-rated = checked again: { $grade }
report-outcome-photos =
    { $count ->
        [one] one photo
       *[other] { $count } photos
    }
report-outcome-proof = Proof: { $proofs }.
report-outcome-no-proof = No proof was kept.
report-work = Work done since
report-work-who = The areas above show the car as it was looked over. The shop entered what follows later, and only the shop vouches for it.
report-work-by = by { $name }
report-work-at = at { $odometer }
report-work-cost = cost { $amount }
report-work-parts = Parts: { $text }
# A finding's ratings before and after the work
report-work-finding = { $title }: { $before }, now { $after }.
report-not-rated = not rated
report-not-checked-again = not checked again
report-maintenance = Maintenance
report-maintenance-due =
    { $total ->
        [one] { $due } of { $total } counts as due. Without a receipt, a service counts as not done.
       *[other] { $due } of { $total } count as due. Without a receipt, a service counts as not done.
    }
report-service-line = { $title } { $status }, { $proof }: { $why }
report-proof-documented = receipt
report-proof-seen = seen, no receipt
report-proof-claimed = claimed only
report-proof-unknown = nothing known
report-due = due
report-not-due = not due
report-changes = Changes after signing
report-changes-meaning = The signature on the look-over does not cover what follows. It was recorded later; the areas above show the car with these changes and mark them.
report-change-line = { $when }, { $who }: { $what } was { $before }, is { $after }
report-value-erased = erased
report-value-none = not recorded
report-value-withdrawn = withdrawn
report-value-photo = a photo
report-value-recording = a recording
report-value-yes = yes
report-value-no = no
report-value-several = several values
# What of a check was changed
report-entry-grade = rating
report-entry-why = reason
report-entry-choice = answer
report-entry-text = answer
report-entry-note = note
report-entry-photos = photo
report-entry-of-media = Photo or recording of no check
report-entry-of-notes = Note of no check
report-when-unknown = at an unknown time
report-when-never = after the year 9999
report-day-unknown = an unknown day
report-device-of = { $name }'s device
report-device = device { $digits }
# What was captured on the spot and stands with no check
report-captured = Also recorded on the spot
report-captured-note = Note
# Below it each recording: what it is, how long, when, of which check
report-recordings-where = Recordings are kept in the shop's record; this file names them and does not hold them.
report-recording-engine = Engine sound
report-recording-voice = Voice note
report-in-full = First page, in full

report-cautions = Cautions and scope
report-cautions-scope = This report says what one person saw, measured and was told at one place on one day, with simple tools and without taking anything apart. It is not a state inspection and replaces none. Your state's law decides whether a car may be on the road. Work on brakes, steering, fuel, airbags, seat belts and high-voltage ignition is for people who are trained and, where the law asks for it, licensed. A claim without a receipt is no proof that work was done.

report-method = Method and sources
# The grades' names are in bold
report-method-grades = Ratings: { $none }, checked and no fault found, which is less than a promise that there is none; { $minor }, no notable effect on safety; { $major }, it may be unsafe before long, or needs work before regular use; { $dangerous }, a direct and immediate risk. A rating that follows from a reading names its limit. Where no law or standard is named, the limit is the trade's common practice. A person may overrule a rating with a reason; then both are here.
report-method-file = This file is laid out for long keeping (PDF/A-3a, PDF/UA-1). The record it was printed from is attached as record.json.
# An entry of the list of sources; $number is how the text cites it
report-source-line = [{ $number }] { $title } ({ $status })
report-source-read = read
report-source-read-secondary = read in another publication
report-source-memory = from memory, not checked against the text
report-texts-cut =
    { $count ->
        [one] One text is too long for paper and was cut; the attached record has it whole.
       *[other] { $count } texts are too long for paper and were cut; the attached record has them whole.
    }
# $scripts names each script with a count of letters
report-prints-otherwise = Printed a second time from its own record, this report came out different. That is a fault of the program's: please tell whoever looks after it. The report says that its pages cannot be compared with its record, and counts all the same.
report-letters-lacking = No font here has some of the letters in this look-over ({ $scripts }). On paper each is an empty box; the file's text and the attached record have them whole.
report-link-place = Go to this place in the report
report-map-figure =
    { $count ->
        [0] The car's body from above, its sides folded out
        [one] The car's body from above, its sides folded out, with the place of one finding
       *[other] The car's body from above, its sides folded out, with the places of { $count } findings
    }
report-photo-figure = Photo
report-field-shop = The shop's signature
report-letters-of = { $script }: { $count }
report-script-han = Chinese and Japanese
report-script-hangul = Korean
report-script-cjk = Chinese, Japanese, or Korean
report-script-symbols = symbols
report-photos-missing =
    { $count ->
        [one] One photo could not be printed; its place says why.
       *[other] { $count } photos could not be printed; the place of each says why.
    }

# ---- signatures: the last page ----

report-signatures = Signatures
report-signed-by = Signed by { $name }, { $when }.
report-signed-by-again = Signed by { $name }, { $when } (signature { $number } on this look-over).
report-declared = Declared by signing: "{ $words }"
report-declared-elsewhere = Declared by signing: "{ $words }" The words were read in another language ({ $language }); the record that they stand for is the same.
# as it was locked
report-seal-open = Open when it was locked: { $unchecked } checks without an answer, { $disputed } with two answers, { $unsorted } photos or notes not sorted.
report-signed-nobody = a person without a name
report-signed-never = on an unknown date
report-signature-drawn = The drawn signature is for the eye. The proof is in two electronic signatures: the phone's on the record, and the shop's on this file.
report-seal-holds = The record is as it was signed: the phone's signature fits what the shop holds, checked when this file was made.
report-seal-broken = The record is not as it was signed.
report-seal-entries = Seal of the signed entries (SHA-256)
report-seal-key = Key of { $device } (its fingerprint)
report-seal-photos =
    { $count ->
        [0] Seal of the photos (SHA-256)
        [one] Seal of 1 photo (SHA-256)
       *[other] Seal of { $count } photos (SHA-256)
    }
report-seal-visit = Look-over
report-seal-none = none
report-unsigned = Nobody has signed this look-over: what was recorded may still change.
report-left-alone = Left alone, and why
# $why, $back: as the shop wrote them
report-left-alone-why = { $title }: { $why }
report-left-alone-back = { $title }: { $why } · Comes back if: { $back }
# $parts lists how many entries are left out, and why
report-left-out =
    { $count ->
        [one] The attached record leaves out one entry: { $parts }.
       *[other] The attached record leaves out { $count } entries: { $parts }.
    }
report-left-out-sealed =
    { $count ->
        [one] The attached record leaves out one entry: { $parts }. The signature covers it too: it is in the record as a hash that tells nothing about it. Anyone can check what is shown against the signature ("bradawl verify").
       *[other] The attached record leaves out { $count } entries: { $parts }. The signature covers them too: each is in the record as a hash that tells nothing about it. Anyone can check what is shown against the signature ("bradawl verify").
    }
report-left-out-money = { $count } of money
report-left-out-plan = { $count } of what the buyer plans
report-left-out-review = { $count } that may name a price, a person, a number or an address
report-left-out-choice = { $count } not to be passed on
report-left-out-erased = { $count } erased on request
report-left-out-fenced = { $count } that the owner set aside
# $days lists how many, and when
report-erased =
    { $count ->
        [one] Personal data was erased from this look-over on request: { $days }. What it said is gone for good; its hash stays, so that the signature can still be checked.
       *[other] Personal data was erased from this look-over on request: { $days }. What it said is gone for good; the hash of each value stays, so that the signature can still be checked.
    }
report-erased-day = { $count } on { $date }
report-unconfirmed =
    { $count ->
        [one] One entry was written by a phone that the shop's owner has not confirmed.
       *[other] { $count } entries were written by a phone that the shop's owner has not confirmed.
    }
report-file-unsigned = This file carries no electronic signature.
# $name is whose key it is, $digits the whole fingerprint of its certificate
report-file-signed = This file is signed electronically by { $name }, certificate { $digits }. Run "bradawl verify" on it, or drop it on the shop's check page: they find any change. Compare the certificate's digits with its owner before you trust the name.
report-signatures-later = Signatures added later
report-signatures-later-how = Sign here by hand, or with a PDF program in the fields "Second-signature" and "Third-signature": the first signature stays valid. Nothing else written into this file counts.

# ---- what the file says about itself ----

# The end of a file's name, in plain letters without accents: killdeer-1993-2026-11-21-report.pdf
report-file-repaired = report-after-repair
report-file-condition = report
report-file-partner = our copy
# follows the name of a file that somebody signed
report-file-suffix = signed
report-file-subject = Look-over { $visit }
report-file-manifest = Digests of the pages, the record and the photos
report-file-record = The record that these pages were printed from
report-file-field = Later signature: the buyer, a partner, or the shop when it hands the report over
report-file-reason = Issued as the report on this look-over
# Reasons that a later signature may give: a buyer's or partner's, then the shop's
report-file-received = I have received this report.
report-file-handed-over = Handed over by the shop.
report-photos-left-out =
    { $count ->
        [one] One photo could not be printed.
       *[other] { $count } photos could not be printed.
    }
report-no-time-stamp = The time-stamp server did not answer, so the signature carries only the time of this computer's own clock.

# ---- making one: the desk, the command line ----

report-make = Make a report
report-make-title = Report: { $car }
report-make-this-car = This car
report-make-not-signed = Nobody has signed this look-over. The report will say so on its first page.
report-make-changed =
    { $count ->
        [one] One entry was added after signing. The report lists it with date and author.
       *[other] { $count } entries were added after signing. The report lists them with date and author.
    }
report-make-edition = Copy
report-make-condition = Buyer copy: for anyone, never shows prices
report-make-repaired = Buyer copy after repair: what was found, fixed and left alone; never shows prices
report-make-partner = Our copy: with costs, top price and job list
report-make-contents = What it may say
report-make-place = where the car was looked over
report-make-seller = the seller's name
report-make-photos = photos
report-make-amendments = what was changed after signing
report-make-left-out = What you leave out here is left out of the attached record, too.
report-make-printing = Language, units and paper
report-make-language = Language
report-make-units = Units
report-make-units-us = US: inches, miles, °F, psi
report-make-units-metric = Metric: millimeters, kilometers, °C, bar
report-make-paper = Paper
report-make-paper-letter = Letter
report-make-paper-a4 = A4
report-make-as-written = Notes and names stay as people wrote them.
report-make-button = Make and sign it
report-review = Read before it goes out
report-review-title = Before the report goes out: { $car }
report-review-meaning =
    { $count ->
        [one] One thing that somebody wrote may give away what this copy is not meant to show. Say what becomes of it. What is left out leaves a mark in its place, and the report still proves the rest.
       *[other] { $count } things that somebody wrote may give away what this copy is not meant to show. Say of each what becomes of it. What is left out leaves a mark in its place, and the report still proves the rest.
    }
report-review-pending =
    { $count ->
        [one] One of them still needs an answer.
       *[other] { $count } of them still need an answer.
    }
report-review-photo = Photo
report-review-leave = Leave it out
report-review-show = Show it as it is
report-review-leave-rest = Leave out whatever I have not answered
report-review-others =
    { $count ->
        [one] One more thing that somebody wrote and this copy shows; nothing was found in it
       *[other] { $count } more things that somebody wrote and this copy shows; nothing was found in them
    }
# $clues is a list of the words below
report-review-clues = May give away: { $clues }.
report-clue-price = a price
report-clue-name = a name
report-clue-number = a phone number or another number
report-clue-address = an address
report-clue-other = in letters that this check can't read
report-make-refused = Choose a copy, a language, units and paper from those offered.
report-back = Back to the look-over
report-making = Making the report
report-making-now = Now: { $step }
report-making-percent = { $percent }%
report-making-wait = This page refreshes every second. You can go on working meanwhile.
report-step-waiting = waiting for its turn
report-step-photos = getting the photos
report-step-pages = laying out the pages
report-step-archive = preparing the file for long keeping
report-step-signature = signing
report-step-done = done
report-failed = No report
report-failed-why = The report could not be made; nothing about the car was changed. The server's log says why. Try again, and without photos if it fails again.
report-failed-why-request = The report could not be made; nothing about the car was changed. The server's log says why (request { $request }). Try again, and without photos if it fails again.
report-failed-erased = Something was erased or set aside while this report was made. Make it again.
report-again = Try again
report-ready = The report is ready
report-ready-number = Number
report-ready-pages = Pages
report-ready-photos = Photos
report-ready-size = Size
report-ready-megabytes = { $figure } MB
report-ready-open = Open { $name }
report-ready-sign = Add a second signature
report-ready-another = Make another
report-ready-kept = The file is kept here for an hour. You can make it again any time; its number stays the same as long as nothing changes.
report-not-ready = This report isn't ready yet.
report-not-kept = This report is no longer kept: make it again.
report-command = write the signed PDF report of a look-over
report-command-visit = the look-over's id, or its first characters
report-command-several = More than one look-over begins with "{ $start }". The desk lists them all.
report-command-none = No look-over on this server begins with "{ $start }". The desk lists them all.
report-command-done = { $file }: { $size }, signed.
report-command-language = language of the report, such as es-US (default: en-US)
report-command-units = units of the report: us or metric (default: the shop's)
report-command-paper = paper: letter or a4 (default: the shop's)

# ---- signing one at the desk ----

report-sign = Sign a report
report-sign-heading = Add a signature to a report
report-sign-how = When you hand a report over, sign it once more with the shop's key. The file is checked first: what isn't genuine isn't signed. The first signature stays valid; there is room for two.
report-sign-file = Report (PDF)
report-sign-button = Sign and download
report-sign-key = This shop keeps no key for anybody but itself, so it cannot sign for a buyer.
report-sign-no-file = No file arrived. Choose the report to sign.
report-sign-too-large = Choose the report to sign, at most 200 MB.
report-sign-others = Buyers and partners
report-sign-paper = On paper: print the last page and sign in one of its two frames.
report-sign-program = Electronically: with a PDF program of their own and their own key, in the field "Second-signature" or "Third-signature". The fields have no place on the page, so nothing can be written beside what the shop printed; the program lists them under signatures. The reason must be one that the form offers.
report-sign-not-genuine = This file was not signed, because it is not a genuine report of somebody this shop knows:
report-sign-no-report = This file is not a report that can be signed.
report-sign-full = This file has no room for another signature. Make the report again and have everyone sign that one.

# ---- keys and signers ----

report-signer-unnamed = Unnamed
report-signer-private = This file holds a private key, which nobody should hand out. Ask its owner for the certificate alone, and tell them that the key must be replaced.
report-signer-no-certificate = This is neither a certificate (PEM or DER) nor a signed PDF. Ask the signer for the certificate that goes with their reports, or use one of the reports themselves.
report-signer-damaged-pdf = This PDF is damaged; nothing can be read from it.
report-signer-unsigned-pdf = This PDF is not signed, so it names no signer.
report-signer-own = This is one of this shop's own keys; it is known already.
report-signer-not-own = This is not a key of this shop; remove the signer instead.
report-signer-lost-day = Give the day on which the key was last safe in your hands, as YYYY-MM-DD, not later than today.
report-signer-most = No more than { $most } known signers are kept; remove some.
report-signer-damaged = A certificate kept here is damaged.
report-signer-name = A signer's name has 1 to 60 letters.
report-signer-newer = { $file } was written by a newer version of Bradawl than this one.
report-signer-list-damaged = The list of known signers ({ $file }) is damaged. Put it back from a backup, or remove it: other signers then count as unknown until you add them again.
report-key-damaged = The signing key { $file } is damaged. Put it back from a copy, or remove it: a new key is made then, and reports signed so far will be by a key of their own.
report-key-mismatch = Key and certificate in { $file } do not belong together.
# The name of a shop's first key; $digits tell shops apart
report-key-shop = Bradawl shop { $digits }

# ---- checking one ----

report-verify-command = check whether a report is genuine (exit code 0), unchanged but by an unknown signer (3), or changed (1)
report-verify-file = the PDF to check
report-verify-unreadable = { $file } could not be read: { $why }.
# What a report is. Names and numbers from the file come in quotes of their own.
report-verify-no-own-record = This shop's own record could not be asked: { $why }
report-verify-genuine = Genuine: nothing was changed since it was signed, and the key is known here.
report-verify-unknown = Unknown signer: nothing was changed since it was signed, but nobody here knows the key. Do not rely on the name before you have compared the fingerprint.
report-verify-changed = Do not rely on this file: it was changed, is damaged, or is not what it claims to be.

# Why a file is not a report, or not as it was signed
report-verify-no-pdf = It is not a PDF file, so it cannot be a report.
report-verify-damaged = It is damaged or was written anew after it was made: its structure cannot be read in one way only.
report-verify-cut-off = Part of it is missing, or something stands before it or behind it.
report-verify-unsigned = It is not signed, so nothing says who made it or whether it was changed. Ask for the signed file itself, not a print of it.
report-verify-confused = It was changed after it was signed: its structure no longer adds up.
report-verify-added = Something was added to the file after the last signature, and nobody signed that.
report-verify-revisions = The file was saved { $revisions } times, but signed only { $signatures ->
        [one] once
       *[other] { $signatures } times
    }: something was added that nobody signed.
report-verify-not-covered = A signature does not cover the file as it should.
report-verify-hex = A signature is written in other digits than it was signed in.
report-verify-method = A signature is of a kind that reports do not have.
report-verify-padding = Something is hidden behind a signature, where only zeros may stand.
report-verify-envelope = The envelope of a signature was written anew after it was signed.
report-verify-spare-certificate = A signature carries a certificate that does not belong to its signer.
report-verify-many-signers = One signature claims several signers.
report-verify-weak = A signature is made in a way that no longer proves anything.
report-verify-rare-key = A signature is made with a kind of key that browsers cannot check. RSA keys of 2,048 bits or more can be checked, and those on the curves P-256, P-384 and P-521.
report-verify-unnamed-certificate = Nothing that was signed says whose a signature is: the name on it could have been changed.
report-verify-not-intact = The signed part of the file is not what was signed.
report-verify-not-valid = A signature is not valid: it was not made with the key that it names.
report-verify-gaps = After a signature something was written into the file that is no part of another signature.
report-verify-something-else = After a signature something other than another signature was added, such as a page laid over another, a note, or another title.
report-verify-field = A later signature changed more than its own field, or drew into the page.
report-verify-own-words = A later signature says something that the form does not offer. Only the form's own reasons may stand there.
report-verify-stamp-bad = The time stamp on a signature is not valid.
report-verify-no-time = Nothing says when it was signed.
report-verify-implausible = The time of a signature, { $when }, cannot be right.
report-verify-outside-validity = It was signed outside the days for which the signer's certificate is valid ({ $begins } to { $ends }).
report-verify-made-another-day = It was not signed when it says it was made.
report-verify-retired = It was signed after { $date }, when the shop replaced this key.
report-verify-lost = The shop lost this key. What it signed since { $date } does not count.
report-verify-borrowed-name = It bears the name { $name }, which is known here with another key. That is a forgery.
report-verify-lookalike = It bears the name { $name }, which looks like { $known }, known here with another key. That is a forgery.
report-verify-hidden-letters = The signer's name holds characters that nobody can see.
report-verify-two-names = A signature bears two names: { $name } in its certificate, and { $other } beside it.
report-verify-visit-ours = The look-over that it reports is one of this shop's, but this shop did not sign it. That is a forgery.
report-verify-number-ours = This shop issued report { $number } itself, with another key. That is a forgery.
report-verify-no-number = It does not say which report it is, and on which look-over.
report-verify-no-record = No record is attached, so the pages stand alone. A report has one.
report-verify-other-record = The attached record is not the one these pages were printed from.
report-verify-other-pages = The pages are not those that were printed from the attached record.
report-verify-attached-twice = A file of the same name is attached twice.
report-verify-attached-more = More is attached than the record and its list of digests.
report-verify-layers = It has layers that a PDF reader can show or hide. Reports have none.
report-verify-more = It tells a PDF reader more than reports do.
report-verify-actions = It makes a PDF reader do something when it is opened or clicked. Reports do not.
report-verify-notes = Notes or stamps lie over its pages. Reports have none.
report-verify-fields = It has form fields that no report has.

# Whose it is
report-verify-key-unnamed = somebody without a name
report-verify-server-unnamed = an unnamed server
# $name is whose key it is, $digits the whole fingerprint of the certificate in groups
report-verify-issued-known = Issued and signed by { $name }, with a key that is known here. Fingerprint: { $digits }.
report-verify-issued-unknown = It claims to be issued and signed by { $name }. Fingerprint to ask for: { $digits }.
report-verify-also-known = Also signed by { $name }, with a key that is known here. Fingerprint: { $digits }.
report-verify-also-unknown = Somebody who claims to be { $name } signed as well, with a key that is not known here. Fingerprint to ask for: { $digits }.
report-verify-ask = Ask the shop for its fingerprint in a way that has nothing to do with this file: by phone, at its door, on its own paper. Compare every group.
report-verify-similar = Take care: the name { $name } resembles { $known }, who is known here with another key.
report-verify-time = { $name } signed on { $when }, by the clock of that computer.
report-verify-time-stamp = Time-stamped on { $when } by { $server }.
report-verify-run-out = That certificate ran out on { $date }, after it was used here.
report-verify-lost-later = The shop lost this key on { $date }, but its own list says that it issued this report before.
report-verify-lost-perhaps = The shop lost this key on { $date }. This report says that it was signed before, but whoever has the key can say so, too: ask the shop.

# What else is to say of it
report-verify-pages = The pages are those that were printed from the attached record.
report-verify-pages-again = The pages were printed again from the attached record, and are the same.
report-verify-page-otherwise =
    { $count ->
        [one] Page { $pages } does not follow from the attached record: printed again, it is another one.
       *[other] Pages { $pages } do not follow from the attached record: printed again, they are others.
    }
report-verify-beside-otherwise = What the file says beside its pages (title, bookmarks, what is read aloud) does not follow from the attached record.
report-verify-judged-otherwise = What it says of { $parts } does not follow from the attached record: judged again, it comes out otherwise.
report-verify-part-drive = the way home
report-verify-part-work = the work that was done since
report-verify-part-findings = which faults there are
report-verify-not-judged = What it says of { $parts } cannot be judged again, because entries are left out on which it may rest.
report-verify-unproven =
    { $count ->
        [one] The pages also show one entry that the attached record does not prove, and that rests on the issuer's word: { $entries }.
       *[other] The pages also show { $count } entries that the attached record does not prove, and that rest on the issuer's word, among them: { $entries }.
    }
report-verify-photos-reduced =
    { $count ->
        [one] One photo is printed smaller than it was taken: this file alone does not prove that it is the one that was signed.
       *[other] { $count } photos are printed smaller than they were taken: this file alone does not prove that they are those that were signed.
    }
# why the pages cannot be compared
report-verify-not-compared-printer = The pages cannot be compared with the attached record, because another version of this program printed them ({ $version }).
report-verify-not-compared-checklist = The pages cannot be compared with the attached record, because the checklist by which they were judged is not here.
report-verify-not-compared-left-out = The pages cannot be compared with the attached record, because entries are left out on which their sums may rest.
report-verify-not-compared-large = The pages cannot be compared with the attached record, because it is too large to be printed again here.
report-verify-not-compared-issuer = The pages cannot be compared with the attached record: the program that signed them noted that it prints other pages the second time. What they show is their signer's word.
report-verify-not-compared-failed = The pages cannot be compared with the attached record, because they could not be printed again here.
report-verify-replaces = This report replaces report { $number }.
report-verify-newer = A newer report replaces this one: { $number } of { $date }. Ask for that one.
report-verify-later = Changed after signing, { $when }: { $entry }.
report-verify-later-more =
    { $count ->
        [one] One more entry was changed after signing.
       *[other] { $count } more entries were changed after signing.
    }
# where a note or a reason stood that this copy does not show
report-wire-risk = Risk
report-wire-seen = Seen
report-withheld-note = [Left out of this copy.]
report-withheld-photos =
    { $count ->
        [one] [One photo is left out of this copy.]
       *[other] [{ $count } photos are left out of this copy.]
    }
report-verify-withheld = The attached record leaves out what no report may leave out ({ $kind }).
report-verify-look-unsigned = Nobody had signed the look-over when this report was made.
report-verify-seal-key = The look-over is not signed with the key of the phone that it names.
report-verify-seal-record = The attached record is not what the inspector signed.
report-verify-seal-other = The signature is not one that this shop's own record has for the look-over.
report-verify-seal-same = This shop's own record of the look-over has the same signature.
report-verify-inspector = the inspector
report-verify-all-shown = The attached record is what { $name } signed, and leaves nothing out.
report-verify-part-shown = All { $shown } entries of the attached record are among the { $sealed } that { $name } signed; { $left } are left out.
report-verify-part-erased = All { $shown } entries of the attached record are among the { $sealed } that { $name } signed; { $left } are left out, { $erased } of them because they were erased on request.
report-verify-kinds = Left out are: { $parts }.
report-verify-kind-money =
    { $count ->
        [one] one sum of money
       *[other] { $count } sums of money
    }
report-verify-kind-plan =
    { $count ->
        [one] one thing the buyer plans
       *[other] { $count } things the buyer plans
    }
report-verify-kind-name =
    { $count ->
        [one] one name or place
       *[other] { $count } names and places
    }
report-verify-kind-note =
    { $count ->
        [one] one note
       *[other] { $count } notes
    }
report-verify-kind-photo =
    { $count ->
        [one] one photo
       *[other] { $count } photos
    }
report-verify-kind-fenced =
    { $count ->
        [one] what one entry says, whose place is named
       *[other] what { $count } entries say, whose places are named
    }
report-verify-phone-known = The look-over is signed with the key of { $name }, a phone that this shop knows ({ $digits }).
report-verify-phone-unknown = The look-over is signed with the key of a phone that is not known here ({ $digits }).

# ---- How to check it -------------------------------------------------------------------------
report-check = Check this report yourself
# $place: a web address
report-check-there = Scan the code or open { $place }, and drop the PDF there: the page says whether it is genuine, without sending it anywhere.
report-check-shop = Ask the shop for its check page, a file that works without a network, and drop the PDF there: the page says whether it is genuine.
report-check-compare = Trust only a page and a fingerprint that you got from the shop itself: whoever forges a paper prints a code of their own.
report-check-key = Fingerprint of the shop's key: { $digits }

report-wants-title = What was wanted of it
# $want: "Tows a trailer"; $state: "Met"
report-wants-must = Must-have: { $want }: { $state }
report-wants-leave = Leave if: { $want }: { $state }

report-claims-title = What was said of it
report-claims-hint = What the ad, the seller and others claimed, and what the inspection made of it. No receipt: not done.
# $claim: "New brakes"; $state: "False"
report-claims-row = { $claim }: { $state }
# $count: photos that prove it
report-claims-proof = { $count ->
    [one] { $count } photo proves it.
   *[other] { $count } photos prove it.
 }
