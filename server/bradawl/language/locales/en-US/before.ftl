# Before one goes to see a car, on phone and desk. The phone loads it when it is looked at.

# going: the call, the look-ups, what to load, how it comes home
before-going-hint = An hour at the table saves a day on the road.
before-older-checklist = This car was begun with an older checklist, which has no such list. Cars started now have it.
# $source: the name of a law or a standard
before-source = Source: { $source }.

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
purpose-change = See or change them
purpose-look-first = Look at these first
purpose-look-more = { $count } more
