# What Decide says, and what is done from there. The phone loads these words with those screens.

phone-decide-trouble = Something wrong? Find the cause
phone-decide-verdict = Verdict
phone-decide-drive = The drive home
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
