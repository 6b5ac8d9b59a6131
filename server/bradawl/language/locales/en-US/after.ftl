# After one has looked at a car, on phone and desk. The phone loads it when it is looked at.

# the drive home
driving-title = Drive home
driving-answer = May it be driven
driving-never = Never while driving. Park off the road, engine off, brake set. If somebody rides along, they still look only while parked.
driving-working = Looking at what was found …
driving-older = The checklist of this visit has no drive home. Start from the decision.
driving-no-plan = No drive. Haul it.
driving-no-plan-yet = No drive yet.
driving-stop-here = Stop here.
driving-roadside = Hazard lights on, everybody out on the side away from traffic and behind the rail. Never work on the traffic side. In danger or with smoke, call 911.
driving-do = What to do
driving-mend-first = To fix before it's driven
driving-look-first = To look at before it's driven
# $count: of further rows
driving-more = { $count } more
driving-start = Before it rolls
# $distance: "5 mi"
driving-after = After { $distance }
driving-home = Home
# $number: of the stop, where nobody knows after how far
driving-stop = Stop { $number }
driving-for-desk = For the drive home: what to watch, what to take along
# $stop: "After 5 mi"
driving-next = Next stop: { $stop }
driving-go = Put the phone away and drive gently, off the highway at first. Stop there where it's safe, before that if anything smells, sounds or pulls differently.
driving-parked = Parked, engine off, brake set
driving-at-home = It's home, parked
# $sign: "Heat at the hub"; $place: "front left"
driving-at = { $sign }, { $place }
# $sign: "Lug nuts"; $answer: "Loose or missing"
driving-finding-start = { $sign }: { $answer } (before the drive home)
# $sign: "Heat at the hub, front left"; $answer: "Hot"; $distance: "5 mi"
driving-finding-after = { $sign }: { $answer } (drive home, after { $distance })
# $figure: "front 35 psi, rear 33 psi"
driving-figure = Figure of this car: { $figure }
# $place: "front"; $figure: "35 psi"
driving-figure-at = { $place } { $figure }
driving-no-figure = No figure for this car yet. Look in the manual or on the sticker, and keep it under
# $what: a sentence
driving-watch-here = On this car: { $what }
# $count: questions that are open
driving-left =
    { $count ->
        [0] All answered.
        [one] { $count } to answer.
       *[other] { $count } to answer.
    }
driving-does-fix = Fix it here, or haul it.
driving-does-cool = Let it cool, then decide.
driving-does-call = Call for help.
driving-does-haul = Call a trailer.
driving-right = Fixed: add a photo
# $sign: "Lug nuts"
driving-right-noted = { $sign }: fixed.
driving-to-finding = The finding
driving-watch = Watch on this car
driving-watch-none = Nothing was found that the stops don't show anyway.
# $items: checks
driving-found = Found: { $items }
driving-unseen = Nobody looked: { $items }
# $count: of further checks
driving-others = { $count } more
driving-kit = In the trunk
driving-stops = Stops
# $count: signs
driving-fine =
    { $count ->
        [one] { $count } fine.
       *[other] { $count } fine.
    }
# $sign: "Oil pressure"; $answer: "No gauge"
driving-log = { $sign }: { $answer }.
driving-log-mended = { $sign }: { $answer }, fixed.

## Leaving: the bargain, the papers, or passed

leaving-title = Deal or pass
leaving-bargain = Before you bargain
leaving-opening = Opening price
# $price: "$2,400"
leaving-opening-suggested = Left empty, the card shows { $price }, from what was found.
leaving-over-top = That's above your top price.
leaving-leave-by = Leave by
leaving-reasons = Reasons on the card
leaving-reasons-hint = Up to three. Pick none, and the card shows the three worth most, found problems first.
leaving-reasons-none = No reason with a price yet. Findings with a repair bring them.
leaving-reasons-more = Pick the reasons
leaving-card = Card to hold
leaving-card-hint = The seller may look over your shoulder. Your top price shows only while a finger holds it.
leaving-top = Top price
leaving-top-hold = Hold to see
leaving-top-none = none yet
leaving-no-opening = none yet
leaving-price-unread = Type a whole amount, like { $example }.

# what was asked and offered
leaving-prices = Asked and offered
leaving-prices-none = Nothing noted yet.
leaving-price = Price
leaving-asked = They ask
leaving-offered = I offer
# in the list of prices: who named it
leaving-side-asked = Asked
leaving-side-offered = Offered
leaving-of-ad = in the ad
leaving-no-date = day not noted
# $price: "$3,400"
leaving-asked-noted = Asked: { $price }.
leaving-offered-noted = Offered: { $price }.
leaving-remove = Take back
# $price: "$3,400"
leaving-removed = Taken back: { $price }.

# a deposit
leaving-deposit = Deposit
leaving-deposit-hint = Never without a paper: amount, car, until when it comes back and why, both signatures.
leaving-deposit-amount = Amount paid
leaving-deposit-until = Comes back until
leaving-deposit-refund = On what condition
leaving-deposit-photo = Photo of what was written
# $number: which of the photos
leaving-deposit-photo-of = Deposit paper, photo { $number }

# the closing papers
leaving-papers = Closing papers
leaving-papers-older = The checklist of this visit has no closing papers. A car begun now has them.
# $count: papers that nobody settled
leaving-papers-open =
    { $count ->
        [0] All settled.
        [one] 1 to settle.
       *[other] { $count } to settle.
    }
leaving-papers-state = States differ. Check your state's form and rules before any money changes hands.
leaving-paper-in-hand = In hand
leaving-paper-missing = Missing
leaving-paper-not-needed = Not needed
leaving-paper-photo = Add photo
# $title: "Bill of sale, as is"; $number: which of the photos
leaving-paper-photo-of = { $title }, photo { $number }
leaving-paper-note = Note
leaving-paper-check = Open its check
# $year: from which no disclosure is wanted
leaving-odometer-exempt = Federal law: exempt by age since { $year }. Some states ask all the same.
leaving-odometer-needed = Federal law: needed until { $year }, unless it's rated above 16,000 lb.
leaving-odometer-unknown = Federal law: it depends on the model year. Type the year among the car's details.

# the forms, printed at the desk or copied by hand; blanks are drawn as lines
leaving-copy = To copy by hand
leaving-copy-hint = No printer here? Copy it twice, fill in the blanks, sign both.
leaving-bill-title = Bill of sale
leaving-odometer-title = Odometer disclosure statement
leaving-check-form = This is no state's form. Check your state's form first.
leaving-copy-date = Date: { $date }
# $year, $make, $model: of the car, or a blank
leaving-copy-car = Year { $year }, make { $make }, model { $model }
leaving-copy-vin = VIN: { $vin }
leaving-copy-body = Body type: { $body }
# $reading: "113,000 mi", or a blank
leaving-copy-odometer = Odometer: { $reading }
leaving-bill-sells = Seller { $seller } sells this vehicle to buyer { $buyer }.
leaving-bill-price = Price: { $price }, paid in full.
leaving-bill-as-is = Sold as is, without any warranty. The buyer has seen it. The seller owns it and may sell it; no lien is on it.
leaving-copy-signed-seller = Seller, printed name, address, signature: { $blank }
leaving-copy-signed-buyer = Buyer, printed name, address, signature: { $blank }
# $seller, $reading: blanks
leaving-odometer-states = I, { $seller }, state that the odometer now reads { $reading } (no tenths), and that to the best of my knowledge this is:
leaving-odometer-boxes = [ ] the actual mileage  [ ] more than the dial can show  [ ] NOT the actual mileage
leaving-odometer-law = Federal law wants this in connection with the transfer, on the title where it has room. A false statement may mean fines or prison.

# passed
leaving-pass = Pass it up
leaving-pass-hint = Keep what would bring you back. It shows when you look at this car again.
leaving-pass-price = Call me at
leaving-pass-why = Why not today
leaving-pass-until = Good until
leaving-pass-go = Pass this car
leaving-pass-empty = Type a price, a reason or a day first.
leaving-passed-noted = Passed. What would bring you back is kept.
# $date: when it was passed
leaving-passed = Passed { $date }
# $price: "$2,000"; $until: a day
leaving-passed-price = Call me at { $price }
leaving-passed-until = until { $until }
leaving-passed-removed = No longer passed.
leaving-passes = Times you passed

# an earlier visit to the same car
leaving-before = This car before
# $date: day of the earlier visit
leaving-before-on = You looked at this car on { $date }
leaving-before-see = See what changed
leaving-before-coming = Reading the earlier visit…
leaving-asked-then = Asked then
leaving-asked-now = Asked now
# $change: "$500"
leaving-asked-less = { $change } less than then
leaving-asked-more = { $change } more than then
leaving-asked-same = Same price as then
leaving-found-then = Found then, and now
leaving-found-none = No problems were found then.
# how a finding of then stands: $grade: "Major"
leaving-since-worse = Worse now: { $grade }
leaving-since-better = Better now: { $grade }
leaving-since-same = The same now
leaving-since-gone = OK now
leaving-since-new = New
leaving-since-unseen = Not looked at this time

# at the desk alone
leaving-save = Save
leaving-gone = That entry has been taken back since. Reload the page.
leaving-time-unread = Type a time, like 18:30.
leaving-price-missing = Type the price first.
leaving-top-desk = Your top price. No edition of the report for a seller or the public has it, nor anything of this page.
leaving-day = Day
leaving-col-check = Check
leaving-col-then = Then
leaving-col-now = Now
leaving-col-side = Who
leaving-col-back = Change

# the blank forms
leaving-forms = Blank forms to print (PDF, letter size)
leaving-col-state = State
leaving-paper-open = Open
leaving-deposit-save = Save the deposit
leaving-deposit-date = Paid on
leaving-form-printed = Printed { $date }
leaving-form-car = The vehicle
leaving-form-year = Year
leaving-form-make = Make
leaving-form-model = Model
leaving-form-vin = Vehicle identification number (VIN)
leaving-form-body = Body type
leaving-form-odometer = Odometer
leaving-form-price = Price paid
leaving-form-date = Date
leaving-form-defects = Known defects
leaving-form-seller = Seller
leaving-form-buyer = Buyer
leaving-form-name = Printed name
leaving-form-address = Current address
leaving-form-signature = Signature
leaving-form-two = Make two, sign both, keep one each.
leaving-form-states = The seller states that the odometer now reads as below, and that to the best of the seller's knowledge:
leaving-form-reads = Miles, no tenths
leaving-form-transfer = Date of transfer
leaving-form-actual = It reflects the actual mileage of the vehicle.
leaving-form-beyond = It reflects miles in excess of the odometer's mechanical limits.
leaving-form-not-actual = It is NOT the actual mileage. Warning: odometer discrepancy.
leaving-form-by-hand = Both write their printed names by hand. A titled owner discloses on the title itself; this sheet is for a title without room, and for your own files.

## Handing the record over as a file

hand-over-title = Hand over
hand-over-why = Everything this phone recorded goes into one file, signed with this phone's key. The desk checks it and imports it. Nothing is deleted here.
# $number: the beginning of this phone's number, as the desk shows it
hand-over-number = This phone's number: { $number }
# $when: a day and a time; $count: photos and recordings taken since
hand-over-last =
    { $count ->
        [0] Handed over { $when }. No new photos since.
        [one] Handed over { $when }. 1 new photo since.
       *[other] Handed over { $when }. { $count } new photos since.
    }
hand-over-which = Photos in the file
hand-over-which-new = New ones
hand-over-which-all = All
hand-over-make = Make the file
hand-over-again = Make it again
hand-over-working = Signing…
hand-over-photo = Packing photo { $number } of { $total }…
hand-over-made = The file
hand-over-left =
    { $count ->
        [one] 1 photo didn't fit. Make another file once the desk has this one.
       *[other] { $count } photos didn't fit. Make another file once the desk has this one.
    }
hand-over-share = Share it
hand-over-save = Save it on this phone
hand-over-step-carry = Bring it to the desk's computer: by cable from the phone's downloads, by mail, any way you like.
hand-over-step-desk = At the desk: Cars, Import a file. It shows what's in it first.
hand-over-step-has = Once the desk has imported it, say so here. The next file then leaves these photos out.
hand-over-has = The desk has it
hand-over-noted = Noted. Nothing was deleted here.
hand-over-later = Sending without a file, later on
hand-over-later-how = Let your own Bradawl answer at the address this app came from, then open the app here with a signal. It updates itself, offers to pair, and goes on with the same key. What the desk has isn't sent again.
hand-over-later-else = At any other address, this phone starts as a new one. What the desk imported is there already, so hand over everything first.

# the first week
week-title = The first week, in this order
week-hint = What no receipt proves was never done. What can hurt somebody comes first; local law and licensed shops come before any of it.
# $titles: lines of maintenance
week-due = No proof, so it counts as never done: { $titles }.

