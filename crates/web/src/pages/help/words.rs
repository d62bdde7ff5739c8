//! What the help says: parts in order, each with terms and sentences. What stands between backquotes is typed as it is.

/// A part of the help.
pub(super) struct Part {
    /// Where an address leads to.
    pub(super) id: &'static str,
    pub(super) heading: &'static str,
    /// Said first.
    pub(super) before: &'static [&'static str],
    /// Terms and what they mean.
    pub(super) terms: &'static [(&'static str, &'static str)],
    /// Said last.
    pub(super) after: &'static [&'static str],
}

pub(super) const PARTS: [Part; 14] = [
    Part {
        id: "stations",
        heading: "From station to station",
        before: &[
            "A golfer's page has six stations in one line, each with the number it has produced. One button says what \
             comes next; you may open any station at any time.",
            "A station that needs another look says so: a reading is hard to believe, a day has passed, work is to be \
             done again, or what was kept no longer agrees with the readings.",
        ],
        terms: &[
            (
                "Measure",
                "The knuckle height is enough to begin. The other readings tell whether it can be believed.",
            ),
            ("Clubs", "What is in the bag, as you read it."),
            ("Target", "The length of each club and the ways to get there. Keep it once you agree with it."),
            (
                "Trial",
                "Which length is hit best shows over days, not balls: a few counted balls at the start of several \
                 lessons.",
            ),
            ("Job", "What the bench does, from the golfer's yes to handing over."),
            (
                "Follow-up",
                "The day you see the golfer again, also for your calendar, and what you found then.",
            ),
        ],
        after: &["The last save stands at the foot of the page with Undo. Undoing can be undone."],
    },
    Part {
        id: "measure",
        heading: "Taking the readings",
        before: &[
            "Take each height twice, and a third time when the two lie more than 1/4 in apart. Shoes on or off, but \
             always the same, and said on the page.",
        ],
        terms: &[],
        after: &[
            "Of a club, the mass and either the balance point or the swingweight are enough. Without them nothing is \
             added to hold a number, and the sheets say that it was not read.",
            "A reading is never changed. Take it back, or read again: the newer one counts. One that is hard to believe \
             holds the job until it is read again, or until you give a reason, which is then printed.",
        ],
    },
    Part {
        id: "numbers",
        heading: "How a number is written",
        before: &[],
        terms: &[
            ("Inches", "`33`, `33 1/4`, `33-1/4`, `33¼`, `33.25 in`, `33\"`"),
            ("Feet", "`5 ft 10 1/2 in`, `5'10\"`"),
            ("Metric", "`845 mm`, `84.5 cm`"),
            (
                "Comma",
                "`84,5 cm` is 84.5 cm. With three digits behind it a comma may mean thousands: it is refused, and both \
                 ways to write it are named.",
            ),
            (
                "Without a unit",
                "A length is in inches or in millimetres, as set in the house. Masses are in g, angles in degrees, \
                 frequency in cpm, head speed in mph.",
            ),
            ("Swingweight", "A letter and a number: `D0.5`, `C9`."),
            (
                "Day",
                "`3 11 2026`, the day first; `3 Nov`, `Nov 3, 2026`, `2026-11-03`, `yesterday`. Without a year it is \
                 the nearest such day.",
            ),
        ],
        after: &[
            "What cannot be read stays in its field as you typed it, with what was expected; everything else is saved. \
             On a touch screen, keys for digits and fractions of an inch come up with the readings.",
        ],
    },
    Part {
        id: "clubs",
        heading: "The table of clubs",
        before: &[],
        terms: &[
            (
                "Enter",
                "Goes to the row below, with Shift to the row above. The arrow keys up and down do the same.",
            ),
            ("Tab", "Goes to the right."),
            ("Escape", "Gives the saved value back."),
            ("Ctrl+D", "Copies the cell above."),
            ("Ctrl+Enter", "Saves the table."),
            ("Ctrl+Z", "With nothing typed, undoes the last save."),
            (
                "Paste",
                "A block from a spreadsheet is first shown column by column. It fills the cells when you say so, and is \
                 saved when you save.",
            ),
        ],
        after: &[
            "On a Mac, Command does what Ctrl does.",
            "“More” at the end of a row has everything else about that club: what a close look found, photos, the way \
             you wish for. “Take the clubs from a file” reads a workbook or a CSV and shows how it understands the columns \
             before anything is taken.",
        ],
    },
    Part {
        id: "target",
        heading: "Target and ways",
        before: &[],
        terms: &[
            (
                "± 7/16 in, 80 in 100",
                "How far the right length may lie from this one, four times in five. Most of it is the rule's own \
                 spread, which is an assumption.",
            ),
            (
                "Hold",
                "Something has to be measured again before any work begins. On Measure you can give a reason instead.",
            ),
            ("With caution", "Say it to the golfer before it is done."),
            (
                "Written acceptance",
                "Only once the golfer, or a parent or guardian, has signed. The job sheet has the line for it.",
            ),
            (
                "Not done",
                "Your own limits, the club's condition or the rule on length speak against it. The reason stands \
                 beside it.",
            ),
            (
                "What the bench holds",
                "What is brought back when a length changes: the swingweight, the inertia, or neither.",
            ),
            (
                "What if",
                "Moves the knuckle height and the clubs to see what would change. Nothing of it is saved.",
            ),
            (
                "In yards",
                "Needs one head speed on Measure. Heads and deliveries stand in for the golfer's own, so every figure has an \
                 interval that holds 80 times in 100; differences between strikes or clubs are known better than the carries \
                 themselves. Where ball and air vary by more than a difference it says so.",
            ),
            (
                "Bending for even gaps",
                "Half degrees within what each head may be bent by your own limits, only for heads whose making is known. A \
                 weaker loft adds as much bounce.",
            ),
        ],
        after: &[
            "The studio takes one way for each club and says why. “Other ways” under the club has the rest. Take \
             another before the job is made: a job that was made stays as it is.",
        ],
    },
    Part {
        id: "trial",
        heading: "The strike trial",
        before: &[
            "A few counted balls at the start of each of several lessons, with two to five lengths of one club in mixed \
             order. Days count, not balls: six visits of twelve balls tell more than three of forty.",
        ],
        terms: &[
            (
                "Sweet spot",
                "Mark it once for the head, with a measured height, and use the same mark for every length. An error of \
                 its height is the largest there is, and more days do not cure it.",
            ),
            (
                "The code",
                "Clubs go by letters until the last visit. Nothing on a visit's page tells which length a letter is.",
            ),
            (
                "Marking a ball",
                "Touch the face where the ball was struck and press Keep. Or move the mark by 1 mm with the four keys, or \
                 type `5 toe 1 low`. With a keyboard: arrows, Shift for 5 mm, Enter keeps, Backspace takes back.",
            ),
            (
                "Topped or shanked",
                "Not recorded; hit it again with the same club. Every other ball counts, bad ones too.",
            ),
            (
                "The verdict",
                "A change, a leaning after one day, keep the rule's length, not told apart yet, or cannot say. Odds are \
                 said no higher than the days allow. mm² is the squared distance of the mean strike from the sweet spot: \
                 4 mm² is what being 2 mm off costs.",
            ),
            (
                "What a strike costs",
                "Lines of equal carry lost on the face, with a head speed on Measure. The same strikes are judged once more by \
                 where the balls come down; when that says another length, the verdict tells both.",
            ),
            (
                "Built as tried",
                "What a trial says holds for clubs weighted and made as those that were tried.",
            ),
        ],
        after: &[
            "After a job, plan another trial \"to see whether the change held\": it counts from the length as built.",
        ],
    },
    Part {
        id: "job",
        heading: "At the bench",
        before: &[],
        terms: &[
            ("Next", "The step to do now stands on top; what to beware of stands before it."),
            ("Done", "Saves the step at once. Pressed again, it takes the tick back."),
            (
                "Read",
                "Takes a reading of the finished club and says at once whether it is within tolerance. When it is not, \
                 what to do stands with it; read again and the newer one counts.",
            ),
            (
                "Curing",
                "“Glued: let it cure” starts the hours set in the house. They go by the clock on the wall, whether or \
                 not the studio is open.",
            ),
            (
                "Quote",
                "Needs the prices on the House page; those that are missing are named. A quote keeps its prices whatever \
                 changes later; made anew it needs a new yes, and once clubs are on the bench it stays as agreed.",
            ),
            ("All checked", "From then on, what you read of the finished clubs is what is known of them."),
            (
                "Code",
                "The code on the printed sheet opens the live job on a device that can reach the studio. The search \
                 takes the job's number too.",
            ),
            (
                "Two devices",
                "What is done on one is seen on the other within a second, and never over what you are typing.",
            ),
        ],
        after: &[],
    },
    Part {
        id: "shelf",
        heading: "The shelf",
        before: &[
            "The parts you keep, with how many there are. That is never typed over: it is the sum of what came, what was \
             counted and what jobs used, so two tablets at one bench cannot lose each other's.",
        ],
        terms: &[
            (
                "Put aside",
                "What a job will use. Choose it on the job's page; what fits by its sizes stands there already. A job that is \
                 cancelled gives it back.",
            ),
            ("Used", "A ticked step takes its parts off the shelf, once. Untick it and they come back."),
            ("Free", "What is neither used nor put aside. Below nothing: more was promised than there is."),
            ("Low at", "A part with no more than this free stands under To order."),
            (
                "Counted",
                "What really lies there. The difference is written down, so that you see later where counts strayed.",
            ),
            (
                "Weighed",
                "Pieces that were weighed are kept apart, each with its mass: take the one a head that came light or heavy \
                 asks for.",
            ),
        ],
        after: &[
            "Tape is counted in inches. A part of the same kind and name in a table you bring in is the same part; the count \
             in the table is taken as counted.",
        ],
    },
    Part {
        id: "devices",
        heading: "A tablet in the bay",
        before: &[
            "Start the studio with `lengthwise serve --lan`. On the laptop set a passphrase once, on House, Devices; then \
             show a code and read it with the tablet's camera, or type its eight digits there.",
        ],
        terms: &[
            (
                "The tablet warns",
                "It does not know the studio's certificate yet. Go on past the warning, or better: open the authority's \
                 certificate, whose address stands on Devices, and let the tablet trust it. Compare the fingerprint.",
            ),
            (
                "Signed out",
                "A session ends after twelve hours without use, and after thirty days. What was not saved yet waits on \
                 the tablet until someone signs in.",
            ),
            (
                "A tablet is lost",
                "On Devices shut it out: its session ends at once. Then set another passphrase.",
            ),
            (
                "Once more",
                "Before remarks about health and the export of everything the passphrase is asked for again when it was \
                 last typed more than a quarter of an hour ago.",
            ),
        ],
        after: &[],
    },
    Part {
        id: "keeping",
        heading: "What is kept of a golfer, and how it ends",
        before: &[
            "Keep little: a name and one way of contact are enough. What you may keep and for how long, and how soon one \
             who asks must be answered (often a month), is decided by local law.",
        ],
        terms: &[
            (
                "Theirs to take",
                "Under Take along on the golfer's page: everything in one archive, with their remarks about health, and a \
                 page anybody can read.",
            ),
            (
                "Forget",
                "Takes the file, the history and the pictures away for good. Of what was agreed to, amounts, days and \
                 number stay. Copies made before still hold them: brought back, one is made to forget them again.",
            ),
            (
                "Silent for long",
                "House, Keeping lists golfers of whom nothing was written for three years. Nobody is removed by \
                 themselves.",
            ),
        ],
        after: &[],
    },
    Part {
        id: "chain",
        heading: "Several studios together",
        before: &[
            "A PostgreSQL database can hold the studios of a chain. Each has its own golfers, jobs, shelf and settings; the \
             database server itself keeps them apart.",
        ],
        terms: &[
            ("A fitter", "Is let in to one studio and sees nothing of the others."),
            (
                "An owner",
                "Sees every studio: `lengthwise serve` opens each at an address of its own, and House leads to all of them.",
            ),
            (
                "The rule of all",
                "What the trials of all studios say together, once there are a hundred golfers: a studio with few is read \
                 partly by the others.",
            ),
            ("`lengthwise chain`", "Opens a studio, lists who is let in, lets logins in and shuts them out."),
        ],
        after: &[],
    },
    Part {
        id: "no-answer",
        heading: "When the studio does not answer",
        before: &[],
        terms: &[
            (
                "At the bench",
                "Go on. Ticks and readings wait in this browser, in order, and are sent by themselves when the studio \
                 answers. Each counts once.",
            ),
            (
                "On other pages",
                "What you typed stays on the page, and nowhere else. Leave the page open and save again; sent twice, \
                 it counts once.",
            ),
            (
                "What to look at",
                "Is the computer with the studio awake, and does the studio still run there? Start it again as before: \
                 what was saved is there.",
            ),
            (
                "Not live",
                "Changes of other devices do not show for the moment. Load the page again once the studio answers.",
            ),
            (
                "Nothing more is saved",
                "The disk failed or the file is damaged. Take what can be read along from House, then stop the studio \
                 and look at it with the commands below.",
            ),
            (
                "A request's number",
                "An error page names it. The log beside the studio has the same number, and nothing that anybody typed.",
            ),
        ],
        after: &[
            "When someone else saved the same thing before you, you are shown both and say which one stays.",
        ],
    },
    Part {
        id: "safe-keeping",
        heading: "Keeping it safe",
        before: &[
            "While it is open, the studio makes checked copies by itself: one a day, and one an hour while something is \
             written. They lie in the folder `backups` beside the studio, on the same drive. Once a week the first page \
             asks for a copy on another drive.",
            "A studio kept on a PostgreSQL server is copied with the server's own tools.",
        ],
        terms: &[
            (
                "`lengthwise backup FILE`",
                "Makes a copy with its photos where you say. It is never removed by the studio.",
            ),
            ("`lengthwise check`", "Looks at every page of the file, every record and every photo."),
            (
                "`lengthwise restore FILE`",
                "Goes back to a copy. Stop the studio first. What was there is set aside, not deleted.",
            ),
            (
                "`lengthwise salvage NEW-FILE`",
                "Reads what can still be read of a damaged studio into a new file, and lists what is lost.",
            ),
            (
                "`lengthwise export FILE`",
                "Writes the studio as one file others can read, or with `--tables` as tables in a folder. Remarks about \
                 health are left out.",
            ),
        ],
        after: &[
            "Never open the studio's file with another database tool while the studio runs. Everyone with an account on \
             the computer can open the studio; encrypt its drive against theft.",
        ],
    },
    Part {
        id: "not-decided",
        heading: "What the studio does not decide",
        before: &[],
        terms: &[
            (
                "The best length",
                "A rule of common practice gives where to start. Strikes over several days decide.",
            ),
            (
                "Health",
                "It says nothing about pain or injury. Send a golfer with either to a licensed clinician before clubs \
                 or swing are changed.",
            ),
            (
                "Rules of play",
                "Whether a club conforms is for the Committee to say. “Appears to fit” is as far as the studio goes.",
            ),
            (
                "Growing golfers",
                "Under 16 a junior chart stands in place of the rule for adults, and a parent or guardian has to agree \
                 before measurements are kept. A club is lengthened only with their written agreement.",
            ),
            (
                "What may be kept",
                "How long you may keep what you know of a golfer, and how soon to answer one who asks, is decided by \
                 local law.",
            ),
        ],
        after: &[],
    },
];
