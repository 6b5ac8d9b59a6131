# Two phones that walk one car. The phone loads these words once a second phone has the visit.

together-title = Two phones
together-you = You
together-desk = The desk
# a name, at the begin of a line and within one: of a phone whose person has told none
together-other-phone = Phone 2
# at the head of each screen, where the line has room for few words; $who: names
together-with = With { $who }
together-name-ask = Two phones here. Your name?
together-name = Your name
together-name-why = The other phone shows it beside what you find.
together-name-said = { $name }: saved.
# $said: "Rusted through", $title: "Left sill"
together-news-one = { $who }: { $said } · { $title }
together-news-many = { $count } new from { $who }
together-news-unsafe = { $count } new from { $who }, { $unsafe } unsafe

together-came = New since you last looked
together-came-none = Nothing new.
together-came-fine =
    { $count ->
        [one] 1 more, no fault
       *[other] { $count } more, no fault
    }
# $when: "2:14 PM"
together-by = { $who }, { $when }
together-photo = Photo
together-sound = Recording

together-take = I take this
together-hand-back = Hand back
together-take-over = Take over
# $stage: "Under the car"
together-take-which = I take this: { $stage }
together-hand-back-which = Hand back: { $stage }
together-take-over-which = Take over: { $stage }
together-far = { $who }: { $done } of { $total }
together-took = You have { $stage }.
together-handed-back = { $stage } is anybody's again.
together-stages = Who has which part
together-stages-none = Nobody took a part yet. Take one on the walk-around.
# $when: "2:14 PM"; the last entry that this phone has of another one
together-heard = Last from { $who }: { $when }. Anything newer would still be on that phone.
# this phone itself had no answer since; $when: "2:14 PM"
together-unheard = This phone last reached the shop computer at { $when }. What others found since isn't here yet.

# the same words at the desk: desk-conflict-why
together-conflict = Two people answered differently. Until you pick, the later answer shows and the worse rating counts.
together-conflicts =
    { $count ->
        [one] 1 conflict
       *[other] { $count } conflicts
    }
# $what: "Rating", $title: "Left sill"
together-conflict-title = { $title }: { $what }
together-keep-mine = Keep mine
together-keep-theirs = Keep { $who }’s
together-keep-mine-which = Keep mine: { $value }, for { $what }
together-keep-theirs-which = Keep { $who }’s: { $value }, for { $what }
together-neither = Neither: answer again
together-settled-you = You settled this at { $when }: { $what }, { $value }
together-settled = { $who } settled this at { $when }: { $what }, { $value }
together-rating = Rating
together-answer = Answer
together-reading-at = { $reading }, { $place }
together-wires = Wires
together-entry = Another entry

together-unsettled = Not settled between the phones
together-unsettled-stage = { $stage }: { $who } took it, { $done } of { $total } done
together-unsettled-see = Look at both
