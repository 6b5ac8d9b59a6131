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
