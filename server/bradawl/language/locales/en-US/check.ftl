# The check page: one file that a stranger opens, at home or at the shop's address, to check a report.

check-title = Check a report
# $shop: a name
check-title-shop = Check a report of { $shop }
check-intro = Drop the PDF here, or choose it. It's read on this device and goes nowhere.
check-choose = Choose the PDF
check-another = Check another
check-working = Reading the report.
check-file = File: { $name }
check-no-script = This page needs JavaScript, which is switched off here.
check-too-large = This file is larger than 200 MB. No report is.
check-no-crypto = This browser checks signatures only in a file on this device or over https. Save the page and open the file, or use an address that begins with https.

# ---- The three verdicts ----------------------------------------------------------------------
check-genuine = Genuine
check-unknown = Unchanged, but by nobody this page knows
check-changed = Changed, damaged or forged
check-changed-why = Don't rely on it.
# $shop: a name in quotes
check-genuine-shop = Nobody changed it since it was signed, and the key is one that this page knows as { $name }.
check-genuine-typed = Nobody changed it since it was signed, and the key is the one whose fingerprint you typed.
check-unknown-claims = It claims to be signed by { $name }. Anyone can write that name into a key of their own.
check-unknown-ask = Ask { $name }, at an address or number that you didn't get from this file, for the fingerprint of their key, and type it below:
check-unnamed = somebody without a name
check-key = Fingerprint of the key
check-key-known = the key that this page knows as { $name }
check-retired = This page knows the key as one that { $name } replaced on { $date }. What was signed before that day still counts.
check-stamped = There's a time stamp beside the signature. This page doesn't check it.

# ---- What is in it ---------------------------------------------------------------------------
check-report = The report
check-report-number = Report
check-report-made = Made
check-report-pages = Pages
check-report-edition = Edition
check-edition-condition = Without money
check-edition-partner = With money
check-edition-other = { $name }
check-replaces = Replaces
check-paper-same = The paper whose code you scanned is of this record.
check-paper-other = The paper whose code you scanned is of another record than this file.

# ---- The record against the pages ------------------------------------------------------------
check-again = Judged again, here
check-again-intro = This page took the record out of the file and judged it again, with the rules inside this page.
check-again-working = Judging it again.
check-again-failed = The judge inside this page doesn't run here, so the statements stand as the report has them.
check-again-no-rules = This report was made with another checklist than the one inside this page, so it can't be judged again here. That says nothing against it.
check-again-all = All { $count } main statements follow from the record.
check-again-some =
    { $count ->
        [one] 1 main statement doesn't follow from the record.
       *[other] { $count } main statements don't follow from the record.
    }
check-again-withheld =
    { $count ->
        [one] 1 main statement can't be told from this edition: it may rest on what is withheld.
       *[other] { $count } main statements can't be told from this edition: they may rest on what is withheld.
    }
check-again-judge =
    { $count ->
        [one] 1 main statement came out otherwise. Another version of the judge made the report.
       *[other] { $count } main statements came out otherwise. Another version of the judge made the report.
    }
check-again-other =
    { $count ->
        [one] 1 other area, the same
       *[other] { $count } other areas, the same
    }
check-column-statement = Statement
check-column-report = The report says
check-column-again = Judged again
check-column-pages = On the pages
check-standing-same = the same
check-standing-differs = Doesn't follow
check-standing-withheld = Can't be told
check-standing-judge = Another judge
check-says-nothing = Nothing
check-statement-buy = Buy it?
check-statement-drive = Drive it home?
check-statement-price = Top price
check-statement-grade = Findings: { $grade }
check-buy-buy = Buy it
check-buy-up-to = Buy it, up to a price
check-buy-not-until = Not until something is cleared
check-buy-walk = Walk away
check-buy-too-little = Not enough seen
# $grade: a rating; of an area's checks
check-area-value = { $grade } · { $done } of { $total } checked
check-pages-found =
    { $page ->
        [one] page 1
       *[other] page { $page }
    }
check-pages-other = prints "{ $said }"
check-pages-none = not found
check-compare = Hold this beside the pages that you have. Where it says "not found", the page prints it in other words, or as a drawing.

# ---- The phone's seal ------------------------------------------------------------------------
check-seal = The seal made at the car
check-seal-later =
    { $count ->
        [one] 1 entry was changed after the seal, and the report says so.
       *[other] { $count } entries were changed after the seal, and the report says so.
    }
check-seal-digest = Digest of the seal
check-seal-receipt = Receipt kept from the signing
check-seal-receipt-hint = The code's text, or the digest's first 16 letters and digits or more
check-seal-match = The receipt fits: this is the seal that was made when you were there.
check-seal-other = The receipt is of another seal. Either this report is of another inspection, or it was sealed again later.
check-seal-no-receipt = Without a receipt kept from the signing, this page doesn't protect you against the shop itself.

# ---- The key ---------------------------------------------------------------------------------
check-typed = Fingerprint that you got from the shop itself
check-typed-hint = On the shop's own paper, its sign or by telephone: 32 digits and letters or more
check-typed-short = That's { $count } of at least 32 digits.
check-typed-other = This report is signed with another key.
# $digits: a fingerprint; from a link or a code
check-link = The link you followed names this fingerprint: { $digits }. A link proves nothing by itself, since whoever printed it could print any.
check-known = Keys that this page knows
check-known-own = { $name }, in use
check-known-met = { $name }, known to the shop
check-known-replaced = { $name }, replaced on { $date }
check-known-lost = { $name }, lost on { $date }: nothing signed with it counts
check-known-none = This page knows no key. Make one with your shop's own.
check-made = Made on { $date }. Keys replaced or lost after that day aren't in it.
check-shop-says = From { $shop }
check-own-copy = A page is only as honest as where you got it: take it from the shop's own address, or from its own hand.

# ---- The file and the command ----------------------------------------------------------------
# the name of a file, without its ending
check-file-name = check-a-report
check-command = write the page with which strangers check this shop's reports
check-command-language = the page's language
check-command-done = { $file } is written ({ $size }). It works without a network; whoever gets it from you can check your reports with it.
