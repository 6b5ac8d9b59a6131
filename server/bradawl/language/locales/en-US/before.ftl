# Before one goes to see a car, on phone and desk. The phone loads it when it is looked at.

# going: the call, the look-ups, what to load, how it comes home
before-going-hint = An hour at the table saves a day on the road.
before-older-checklist = This car was begun with an older checklist, which has no such list. Cars started now have it.
# $source: the name of a law or a standard
before-source = Source: { $source }.

# what puts a line on the load list
# $claims: "Ran when parked"
judge-load-claims = Claimed: { $claims }.
judge-load-calls = By what was said on the phone.
judge-load-haul = By the haul plan.
# $items: checks by name
judge-load-checks = For { $items }.
judge-load-checks-more = For { $count } checks, such as { $items }.

# the haul plan: what each thing comes to
judge-haul-missing = Still to find out: { $fields }.
judge-haul-field-way = how it comes home
judge-haul-field-rolls = whether it rolls
judge-haul-field-steers = whether it steers
judge-haul-field-stops = whether its brakes hold
judge-haul-field-car = weight of the car
judge-haul-field-gear = weight of what else rides on the trailer
judge-haul-field-trailer = weight of the empty trailer
judge-haul-field-tongue = tongue weight
judge-haul-field-trailer-rating = GVWR of the trailer
judge-haul-field-tow-rating = tow rating of the truck
judge-haul-field-hitch-rating = rating of hitch and ball
judge-haul-field-tongue-rating = tongue rating of the hitch
judge-haul-field-straps = number of straps
judge-haul-field-strap-limit = working load limit of a strap
judge-haul-field-brakes = whether the trailer has brakes
judge-haul-field-plates = plates or permit
judge-haul-field-insured = insurance
judge-haul-rolls-yes = It rolls.
judge-haul-rolls-no = It doesn't roll: skates under locked wheels, and a winch. Nobody pulls it up by hand.
judge-haul-rolls-unknown = Nobody knows whether it rolls. Plan for a winch and skates.
judge-haul-steers-yes = It steers.
judge-haul-steers-no = It doesn't steer: dollies under the front wheels, a straight pull, room to line up.
judge-haul-steers-unknown = Nobody knows whether it steers. Plan for dollies.
judge-haul-stops-yes = Its brakes hold.
judge-haul-stops-no = It has no brakes: never let it roll free. Winch up and down, chocks behind each wheel.
judge-haul-stops-unknown = Nobody knows whether its brakes hold. Plan as if there were none.
judge-haul-trailer = Loaded trailer { $load } of { $limit }: { $gap } to spare.
judge-haul-trailer-over = Loaded trailer { $load }, rated for { $limit }: { $gap } too much. Take another trailer.
judge-haul-truck = Towed { $load } of { $limit }: { $gap } to spare.
judge-haul-truck-over = Towed { $load }, the truck is rated for { $limit }: { $gap } too much. Take another truck.
judge-haul-hitch = Hitch and ball { $load } of { $limit }: { $gap } to spare.
judge-haul-hitch-over = Hitch and ball { $load }, rated for { $limit }: { $gap } too much.
judge-haul-tongue-limit = Tongue { $load } of { $limit }: { $gap } to spare.
judge-haul-tongue-limit-over = Tongue { $load }, the hitch is rated for { $limit }: { $gap } too much.
# $from, $to: per cent
judge-haul-tongue = Tongue weight { $weight }, within { $from } to { $to } percent ({ $low } to { $high }).
judge-haul-tongue-unknown = Load it so that { $low } to { $high } rest on the hitch ({ $from } to { $to } percent). Weigh it before the road.
judge-haul-tongue-light = Tongue weight { $weight } is under { $low }: the trailer will sway. Move the car forward.
judge-haul-tongue-heavy = Tongue weight { $weight } is over { $high }: it lifts the truck's front wheels. Move the car back.
judge-haul-straps = { $count } tiedowns, of { $least } at least: two at the front, two at the rear.
judge-haul-straps-few = { $count } tiedowns are too few: two at the front and two at the rear.
judge-haul-hold = Tiedowns hold { $held }, at least { $wanted } is wanted. Half of each one's limit counts.
judge-haul-hold-weak = Tiedowns hold { $held }, and { $wanted } is wanted. Half of each one's limit counts: take stronger ones or more.
judge-haul-brakes-light = Up to { $limit } loaded, a trailer may have no brakes. Your state may say less.
judge-haul-brakes-yes = Over { $limit } loaded, and the trailer has brakes. Try them before the road, and the breakaway switch.
judge-haul-brakes-no = Over { $limit } loaded a trailer needs brakes. Take one that has them.
judge-haul-plates-plates = Good plates.
judge-haul-plates-permit = Transit permit. Carry it in the car.
judge-haul-plates-none = No plates, no permit: it can't be driven on the road.
judge-haul-insured-yes = Insured from the moment of sale.
judge-haul-insured-no = Not insured. Call before you pay: from the moment of sale it's your car.

before-calls = Call sheet
before-calls-hint = Read the question, then be quiet. What they say is noted as a claim where a check can tell. No receipt, not done.
before-calls-none = Nobody called yet
# $done: how many questions have an answer
before-calls-so-far = { $done } of { $of } answered
before-calls-against = Speaks against driving there
before-calls-against-count =
    { $count ->
        [one] 1 speaks against going
       *[other] { $count } speak against going
    }
before-calls-left =
    { $count ->
        [0] Every question has an answer.
        [one] 1 question left.
       *[other] { $count } questions left.
    }
before-calls-who = Who is on the phone
before-calls-which = Which call
before-calls-words = Add their words
before-calls-another = Another call
before-calls-when = Called on
before-calls-open = Not asked
before-calls-keep = Keep the call
before-calls-empty = Tick an answer or write some words first; then the call is kept.
before-calls-print = Call sheet on paper
before-back = Back
before-print-how = Print this page with your browser.
before-calls-claims = All that is claimed

before-lookups = Look-ups
before-lookups-hint = You look it up, Bradawl keeps the proof: a photo or screenshot of the result, with its date. After 30 days look again.
before-lookups-vin = VIN: { $vin }
before-lookups-no-vin = You need the VIN. Ask for a photo of the plate at the windshield and of the title.
before-lookups-so-far = { $done } of { $of } looked up
before-lookups-bad-count =
    { $count ->
        [one] 1 is bad
       *[other] { $count } are bad
    }
# $office: a kind of office, a sentence
before-lookup-where = Where: { $office }
before-lookup-result = What came of it
before-lookup-again = Looked up again
before-lookup-good = Good
before-lookup-bad = Bad
before-lookup-not-found = Not found
before-lookup-photo = Photo of the result
before-lookup-photo-of = Photo { $number } of the result: { $lookup }
before-lookup-more = Words, date, change
before-lookup-note = What it says
before-lookup-date = Looked up on
before-lookup-remove = Remove
before-lookup-removed = Removed: { $lookup }.
before-lookup-change = Add a photo, remove
before-lookup-keep = Keep it
before-lookup-gone = That look-up has been removed since. Reload the page.
before-lookup-no-kind = This checklist has no look-up of that kind. Reload the page.
before-lookup-no-result = Choose what came of it: good, bad or not found.
before-lookup-checks = The checks that ask the same
before-load = Load list
before-load-hint = Made from this car's open checks, from what was said and from the haul plan. Tick what is in the truck.
before-load-story = For this car
before-load-tools = For its checks
before-load-so-far = { $done } of { $of } packed
before-load-packed-count =
    { $count ->
        [0] Nothing packed yet
        [one] 1 packed
       *[other] { $count } packed
    }
before-load-left-count =
    { $count ->
        [one] 1 left at home
       *[other] { $count } left at home
    }
before-load-packed = Packed
before-load-left = Left at home
before-load-pattern = Bolt pattern, such as 5 x 4.5 in
before-load-lacking =
    { $count ->
        [one] 1 check can't be done without it
       *[other] { $count } checks can't be done without it
    }
before-load-print = Load list on paper
before-load-keep = Keep the list
before-load-open = Not said
before-load-what = What
before-load-why = Why
before-load-where = Where it is

before-haul = Haul plan
before-haul-hint = Decide at the table how it comes home. What isn't known is never fine.
before-haul-way = How it comes home
before-haul-way-trailer = On our trailer
before-haul-way-drive = Driven
before-haul-way-hired = Hired carrier
before-haul-rolls = Does it roll?
before-haul-steers = Does it steer?
before-haul-stops = Does it stop?
before-haul-yes = Yes
before-haul-no = No
before-haul-unknown = Don't know
before-haul-weights = Weights and ratings
before-haul-weights-hint = Ratings stand on labels: the trailer's, the hitch's, the ball's, the truck's door and book. The lowest counts. Type 0 for nothing.
before-haul-unit = Unit
# $field: "Car"; $unit: lb
before-haul-in = { $field }, { $unit }
before-haul-unread = { $typed } is no weight. Type a number, such as 3,400.
before-haul-uncounted = { $typed } is no count. Type a whole number, such as 4.
before-haul-car = Car
before-haul-gear = What else rides on the trailer
before-haul-trailer = Trailer, empty
before-haul-trailer-rating = Trailer's GVWR
before-haul-tow-rating = Truck's tow rating
before-haul-hitch-rating = Hitch and ball, the lower
before-haul-tongue = Tongue weight, as weighed
before-haul-tongue-rating = Hitch's tongue rating
before-haul-strap-limit = Working load limit of a strap
before-haul-straps = Straps or chains on the car
before-haul-brakes = Has the trailer brakes?
before-haul-law = Law and road
before-haul-plates = Plates
before-haul-plates-plates = Good plates
before-haul-plates-permit = Transit permit
before-haul-plates-none = None
before-haul-insured = Insured from the moment of sale?
before-haul-daylight = Daylight: sunset there
before-haul-weather = Weather on the way
before-haul-comes-to = What it comes to
before-haul-fine = It fits
before-haul-over = It doesn't fit
before-haul-lacking = Not known yet
before-haul-caution = A floor, not a permission: labels, your state's law and the makers of truck, hitch and trailer decide. Stop after 5 miles and look at every strap. Nobody rides in the car.
before-haul-keep = Keep the plan

# ---- What the car is for ---------------------------------------------------------------------
purpose-hint = Say it before you fall for one. Nobody's car does everything.
purpose-musts = It must have
purpose-leaves = Leave if
purpose-uses-first = Tap above what it's for: what fits comes first.
# $count: as many as fit, at most five
purpose-take-musts = Take these { $count }
purpose-take-leaves = Take these { $count }
purpose-five = Five must-haves are enough. Remove one to take another.
purpose-others = Others
purpose-own = In your own words
purpose-own-must = It must
purpose-own-leave = Leave if
purpose-own-empty = Type it first.
purpose-tells = What tells
purpose-tells-so = I'll say
purpose-tells-check = A check
purpose-tells-asking = Price asked
purpose-tells-work = Cost of work
purpose-tells-odometer = Odometer
# $check: "Front brake pads"
purpose-from-grade = { $check }: leave from
# $of: "Price asked"
purpose-most = { $of }: leave above
# $example: "$4,000"
purpose-most-unread = Type a whole amount, like { $example }.
purpose-add = Add
# $want: "Tows a trailer"
purpose-noted = Noted: { $want }.
purpose-removed = Removed: { $want }.
# $place: its place from now on
purpose-moved = { $want }: now number { $place }.
purpose-up = Move up
purpose-remove = Remove
purpose-ask-must = Is it so?
purpose-ask-leave = Did it come true?
purpose-yes = Yes
purpose-no = No
purpose-met = Met
purpose-not-met = Not met
purpose-not-known = Not known yet
purpose-not-so = Not so
purpose-came-true = Came true
# $count: checks
purpose-open = { $count ->
    [one] { $count } check still tells
   *[other] { $count } checks still tell
 }
purpose-checks = Checks that tell
# $count: reasons to leave
purpose-no-reason = { $count ->
    [one] { $count } reason to leave: hasn't come true so far.
   *[other] { $count } reasons to leave: none has come true so far.
 }
purpose-compare-rule = Best first: no reason to leave came true, the fewest must-haves not met, the fewest not known, then the most room between your top price and what's asked.
purpose-not-the-same = These cars don't have the same must-haves, so they don't quite compare. Each car's must-haves can be taken from another.
purpose-not-judged = Not judged yet: open them once
purpose-none-yet = Say what it must have
purpose-behind-leave = Behind: more reasons to leave came true.
purpose-behind-must = Behind: it lacks more must-haves.
purpose-behind-open = Behind: more must-haves aren't known yet.
purpose-behind-price = Behind: no price for it yet.
purpose-behind-room = Behind: less room to bargain.
# $amount: "$4,000"
purpose-asked = Asked { $amount }
purpose-up-to = up to { $amount }
purpose-no-price = no top price yet
purpose-same = The same as another car
# $car: "Tarn 1968"
purpose-same-as = Same as { $car }
purpose-same-taken = Same must-haves as { $car }.
purpose-uses-change = Change
purpose-offered = Choose from the list
purpose-fits = Fits what it's for
purpose-grade = Leave from
purpose-above = Leave above
purpose-unit = Unit of the odometer
purpose-none-ticked = Tick at least one.
purpose-check-missing = Choose the check, and from which rating on you leave.
purpose-gone = That one has been removed since. Reload the page.
purpose-change = See or change them
purpose-look-first = Look at these first
purpose-look-more = { $count } more
