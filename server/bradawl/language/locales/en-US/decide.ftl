# What Decide says, and what is done from there. The phone loads these words with those screens.

phone-decide-trouble = Something wrong? Find the cause
phone-decide-verdict = Verdict
phone-decide-drive = The drive home
phone-decide-drive-plan = Drive home, stop by stop
phone-decide-more-reasons =
    { $count ->
        [one] 1 more reason
       *[other] { $count } more reasons
    }
phone-decide-more-items =
    { $count ->
        [one] 1 more check
       *[other] { $count } more checks
    }
phone-decide-next = Check next
phone-decide-minutes = Minutes left
phone-decide-work = Repairs and papers
phone-decide-range = about { $about } ({ $low } to { $high })
phone-decide-worth = Worth when done, with its history
phone-decide-cushion = Cushion
phone-decide-reserve = Set aside for what wasn't checked
phone-decide-held =
    { $count ->
        [one] Set aside for 1 unchecked item
       *[other] Set aside for { $count } unchecked items
    }
# what each of them may cost
phone-decide-held-item = { $title }, { $amount }
phone-decide-due =
    { $count ->
        [one] 1 service due: no receipt
       *[other] { $count } services due: no receipt
    }
phone-decide-asking = Asking price
phone-decide-top-price = Top price
phone-decide-no-top = none yet
phone-decide-unknown = not given
phone-decide-assumed = Assumed: { $names }.
phone-decide-assumed-hourly-rate = labor rate
phone-decide-assumed-margin = cushion
phone-decide-assumed-value = value when done
phone-decide-arguments = Reasons to pay less
phone-decide-group-safety = Safety
phone-decide-group-structure = Rust and structure
phone-decide-group-wear = Wear
phone-decide-group-service = Service due
# and work that somebody wrote down without a finding
phone-decide-group-other = Paperwork and other
phone-decide-group-count =
    { $count ->
        [0] no reason
        [one] 1 reason
       *[other] { $count } reasons
    }
# $amount: the expected repairs
phone-decide-group-all = Together { $amount }, each job counted once.
# $titles: findings without a repair in the sums
phone-decide-group-none = Not in these sums: { $titles }.
phone-decide-reasons = What counts
phone-decide-bar = Where the money goes
phone-decide-questions = Open questions
phone-decide-questions-mean = These answers don't fit together. Until one is changed or explained, the worse one counts and none of them is OK.
phone-decide-evidence = What was found
phone-decide-nothing-found = No problems found so far.
phone-decide-working = Working it out…
phone-decide-to-seller = Show the seller (no prices)
phone-seller-back = Back to the inspector
# $order: three digits
phone-seller-order = To go back, tap { $order }.

phone-sign-answered = Answered
phone-sign-found = Problems found
phone-sign-open = No answer
phone-sign-problems = Needs correcting
# a list's title and how many stand in it
phone-sign-list = { $title }: { $count }
phone-sign-photos = Photos
phone-sign-signature = Signature
phone-sign-clear = Draw again
phone-sign-go-on = Keep checking
# $title: a part of the walk
phone-sign-left = { $title }: { $count } not reached
phone-sign-left-all = Why were these not reached?
phone-sign-left-each = A reason for each part
phone-sign-left-time = No time left
phone-sign-left-seller = Seller said no
phone-sign-left-tools = No tools or lift
phone-sign-left-weather = Too dark or wet
phone-sign-left-enough = Seen enough
# $name: whose lock it is
phone-lock-means = Locks what stands here with this phone's key, as { $name }. Anyone can tell later if it was changed.
phone-lock-undo = It closes nothing. Add or change what you like and lock again: both versions stay.
phone-lock-go = Lock it
phone-lock-again = Lock it again
phone-lock-working = Locking…
phone-lock-done = Locked. The desk gets it along with the rest.
phone-lock-open = The lock says what's open
phone-lock-unchecked =
    { $count ->
        [one] 1 check has no answer. It counts as not checked.
       *[other] { $count } checks have no answer. They count as not checked.
    }
phone-lock-disputed =
    { $count ->
        [one] 1 check has two answers that differ.
       *[other] { $count } checks have two answers that differ.
    }
phone-lock-unsorted =
    { $count ->
        [one] 1 photo or note isn't sorted yet.
       *[other] { $count } photos or notes aren't sorted yet.
    }
phone-lock-nothing-open = Every check has an answer.
phone-lock-name = Your name
phone-lock-need-name = Enter your name once. This phone remembers it.
phone-lock-finger = Sign with a finger too
phone-lock-finger-hint = Not needed for the lock. For whoever wants to see one, now or later.
phone-lock-place = Where you are

phone-decide-deeds = What now
phone-decide-leaving = Deal or pass

tell-title = Tell a partner
tell-money = Prices
tell-without = Without money
tell-with = With money
tell-goes-out = This goes out
tell-photos-hint = Photos go without GPS and camera notes, at message size. Notes never go along.
tell-send = Send…
tell-failed = The phone didn't take it. Copy the text and save the photos instead.
tell-by-hand = By hand
tell-copy = Copy the text
tell-copied = Copied.
tell-not-copied = The phone doesn't let us copy. Hold a finger on the text.
tell-save = Save photo { $number }
tell-working = Getting the photos ready…
tell-no-picture = Not on this phone
tell-photo = Photo { $number } of the message
tell-other = Another photo, { $number }
tell-leave = Leave out { $number }
tell-take = Add { $number }
tell-others =
    { $count ->
        [one] 1 more photo
       *[other] { $count } more photos
    }
# $car: "1988 Granther Adze"
tell-car = { $car }:
tell-asking = Asking { $amount }.
# $grade: "Unsafe"; $titles: what was found, with places
tell-dangers = { $grade }: { $titles }.
tell-no-dangers = Nothing unsafe found so far.
tell-at = { $title } ({ $where })
tell-more =
    { $count ->
        [one] 1 more
       *[other] { $count } more
    }
# $sums: "Safety $2,152, Wear $301"; $all: what they come to
tell-sums = Reasons to pay less: { $sums }; together { $all }.
tell-sum = { $group } { $amount }
tell-evidence = Counted is what was looked at or measured; what somebody said is not.
tell-caution = No substitute for a licensed inspection.

aloud-start = Read it to me
aloud-pause = Pause
aloud-go-on = Go on
aloud-stop = Stop
