export const HELP = `lanebench: from a front-crawl testing day to a dataset you can trust.

  lanebench process DAY_FOLDER --out OUT   compute every trial and write the dataset to OUT
  lanebench gather FOLDER --map MAP.json --out DAY_FOLDER
                                           make a day folder from a folder of recordings
  lanebench record --source SOURCE --columns time,L,R --out FILE.csv
                                           write a trace from a live source
  lanebench play TRACE.csv --to PLACE      send a trace as a recorder would, for practice
  lanebench open DAY_FOLDER                bring a day into the lab folder, where the app shows it
  lanebench verify [--all]                 hold the lab folder against what was recorded
  lanebench salvage LAB_FOLDER --home NEW_LAB_FOLDER
                                           write what can be read of a damaged lab folder to a new one
  lanebench backup TO [--full]             copy the lab folder to TO, or only what changed since
  lanebench restore FROM --home NEW_LAB_FOLDER
                                           make a lab folder of a backup
  lanebench pool DATASET… --out POOL       join the datasets of several days
  lanebench compare DATASET_OR_POOL --plan PLAN.json --out RESULTS
                                           answer a plan's questions: tests, figures, words, a check in R
  lanebench freeze NAME --days D,D…|all    freeze days of the lab folder as a release, the same bytes for ever
  lanebench releases                       the releases of the lab folder
  lanebench export NAME --out OUT          write a release as a Data Package
  lanebench diff NAME NAME                 what changed between two releases
  lanebench pages DAY_FOLDER|--day D --out OUT
                                           a page per swimmer, to print and talk over
  lanebench person CODE --out OUT          all that is held on one swimmer, to hand over to them
  lanebench erase CODE --yes CODE          erase a swimmer from the lab folder, for good
  lanebench help COMMAND                   more about one command
  lanebench --version

A day folder holds day.json (protocol, sensors, cameras, trace columns), roster.csv (swimmers, consent, hand areas)
and trials.csv (one row per trial); calibration.csv, zeros.csv, traces/, video/, videos.csv, sync.csv, events.csv and
strokes.csv are used where they are there. Try it on the sample day:

  npm run -s lanebench -- process sample-sessions/harbour-morning --out /tmp/harbour

The numbers are training information, not a diagnosis.`;

export const HELP_PROCESS = `lanebench process DAY_FOLDER --out OUT [--samples] [--replace]

Computes velocity, stroke rate and length, index of coordination, high-hand time and hand force of every trial,
each with its uncertainty, and writes a Data Package:

  datapackage.json  README.md (codebook)  provenance.json
  participants.csv  calibrations.csv  trials.csv  strokes.csv  refused.csv

Input that cannot be used is left out alone, and refused.csv says what and why. Swimmers whose consent is withdrawn or
missing are never processed. OUT appears whole or not at all; it must be new or empty and outside the day folder.

  --samples   add samples/TRIAL.parquet: time, raw values and force of both hands, sample by sample
  --replace   put the new dataset in place of the one in OUT

Exit status: 0 everything was processed; 3 some input was refused, the rest is there; 1 nothing could be processed;
2 wrong usage.`;

export const HELP_GATHER = `lanebench gather FOLDER --map MAP.json --out DAY_FOLDER [--replace]

Makes a day folder from a folder of recordings as a lab has them. The map says how names and tables become trials:

  { "format": "lanebench-map/1",
    "day": { the fields of day.json },
    "files": [ { "kind": "trace", "name": "{participant}_{attempt}.csv" },
               { "kind": "film", "name": "{participant}_{attempt}_{camera}.mp4" } ],
    "roster": { "file": "people.csv", "columns": { "participant": "Code", "sex": "S" },
                "values": { "sex": { "F": "female" } }, "fixed": { "consent": "given" } },
    "trials": { "file": "times.csv", "columns": { … }, "encoding": "windows-1252" } }

Patterns know {participant} {attempt} {condition} {camera} {trial} {any}; one without a slash is held against the file's
name, else against its path below FOLDER. Upper and lower case are the same. A file that could be for two places is
taken for none. "calibration", "zeros", "checks", "sync", "events" and "strokes" take further tables as "trials" does.

Files are copied, never changed: traces/TRIAL.csv, video/TRIAL-CAMERA.EXT. gathered.csv says what was not copied, and
why. Files of swimmers without consent are neither copied nor named. DAY_FOLDER appears whole or not at all; it must be
new or empty and apart from FOLDER. Ctrl-C leaves nothing behind.

  --replace   put the new day folder in place of the one in DAY_FOLDER
  --propose MAP.json   look at FOLDER and write a map to begin with: patterns from the names, columns from headings and
              curves; nothing is copied. Protocol, sensors and pool are yours to add to its day.

Exit status: 0 everything that belongs to a trial was taken; 3 something was not, the rest is there; 1 nothing could be
gathered, or it was cancelled; 2 wrong usage.`;

export const HELP_RECORD = `lanebench record --source SOURCE [--columns time,L,R] --out FILE.csv [--seconds N]

Writes a trace file from a live source of text lines: one header, then each row as it came, on the disk within a second.

  serial:PATH?baud=N        a serial port (115200 baud where N is not given)
  tcp:HOST:PORT             connects, and tries again until it can
  listen:PORT               waits for one recorder of this computer; listen:HOST:PORT on that address
  udp:PORT                  datagrams of whole lines from this computer; udp:HOST:PORT on that address

  --columns   names of the columns, in place of a header that the source may send; needed where it sends none
  --seconds   ends N seconds after the first row; else Ctrl-C does, or the source by closing

A line that is no row is left out and counted. A gap is a step over 1.5 medians. Electricity at a pool: recorders within
reach of water run on batteries or are isolated, their USB cable too; local electrical code and a qualified person decide.

Exit status: 0 ended by N or Ctrl-C; 3 the source closed first, what came is kept; 1 no row came, or the source cannot be
opened; 2 wrong usage, FILE exists, or no header and no --columns.`;

export const HELP_PLAY = `lanebench play TRACE.csv --to tcp:HOST:PORT|listen:PORT [--speed X]

Sends a trace's lines unchanged, header first, each row at its time, then closes. For practice and tests.

  tcp:HOST:PORT   connects, and tries again until it can
  listen:PORT     waits for one to connect, on this computer alone
  --speed         X times as fast

Exit status: 0 all was sent; 3 the other end closed first; 1 nothing could be sent; 2 wrong usage.`;

export const HELP_OPEN = `lanebench open DAY_FOLDER

Copies the day's files into the lab folder under their SHA-256 and computes its trials. Opening a day again brings in
only what changed. The lab folder is LANEBENCH_HOME, else the per-user default.

Exit status: 0 opened; 3 opened, some input was refused; 1 it could not be opened; 2 wrong usage.`;

export const HELP_VERIFY = `lanebench verify [--all]

Reads every raw file of the lab folder through and holds it against its SHA-256; checks the database, the seals of
decisions, calibrations, protocols and kept results, and the chain of acts against its head. What is damaged is
printed, one line each. Nothing is changed. The lab folder is LANEBENCH_HOME, else the per-user default.

  --all   also raw files that nothing names, and what lies put aside

Exit status: 0 all is as it was recorded; 3 something is damaged; 1 the lab folder cannot be read; 2 wrong usage.`;

export const HELP_SALVAGE = `lanebench salvage LAB_FOLDER --home NEW_LAB_FOLDER

Writes a new lab folder from whatever of a damaged one can be read, and says what was lost; salvage-report.txt in the
new folder says so too. The damaged folder is left as it is. NEW_LAB_FOLDER must be new or empty; it appears whole or
not at all.

Exit status: 0 nothing was lost; 3 something was, the rest is there; 1 nothing can be read; 2 wrong usage.`;

export const HELP_BACKUP = `lanebench backup TO [--full]

Copies the lab folder to TO, a new or empty folder, while it may be in use, and reads the copy back. Where TO holds a
backup of this lab folder, only what changed is copied; what TO holds is never taken away. A backup of another lab
folder, or of a later state of this one, is left alone. TO is a backup as it was or as it is now, never half of one.

  --full   read back everything that TO holds, and copy anew what is not whole

Exit status: 0 all of it is in TO; 3 something in the lab folder was damaged or missing, the rest is in TO; 1 no backup
could be made; 2 wrong usage.`;

export const HELP_RESTORE = `lanebench restore FROM --home NEW_LAB_FOLDER

Copies a backup to NEW_LAB_FOLDER, which must be new or empty, as a lab folder to work with, and reads the copy back.
The backup is left as it is. Start the program with LANEBENCH_HOME=NEW_LAB_FOLDER to work with it.

Exit status: 0 all was restored; 3 something in the backup is damaged or missing, the rest is there; 1 nothing could be
restored; 2 wrong usage.`;

export const HELP_COMPARE = `lanebench compare DATASET_OR_POOL --plan PLAN.json --out RESULTS [--replace]

Answers the questions of a plan from a dataset of "process" or a pool of "pool", and writes:

  tests.csv  groups.csv  units.csv  refused.csv  datapackage.json  provenance.json  plan.json (the plan as given)
  summary.md  summary.html  figures/*.svg with their data as CSV
  check.R    recomputes tests.csv from units.csv with base R and nlme: Rscript check.R

Several trials of a swimmer are never taken as independent: the unit is a swimmer's mean or best trial, or the test is
one that knows of both. A question that cannot be answered is left out alone, and refused.csv says why. RESULTS appears
whole or not at all; it must be new or empty and apart from the dataset.

  --replace   put the new results in place of those in RESULTS

What the numbers do not show: a cause, or a diagnosis.

Exit status: 0 every question was answered; 3 some were not; 1 none was, or the plan cannot be read; 2 wrong usage.`;

export const HELP_POOL = `lanebench pool DATASET… --out POOL [--lab NAME] [--parquet] [--replace]

Joins datasets of "process", or pools, into one Data Package with the same tables, each with a first column day. Rows
stand by day, then as in their dataset. Two datasets of one day count once where their tables have the same bytes;
otherwise none of that day is taken. A dataset that lacks a column is refused. refused.csv says both.

  --lab NAME  put "NAME." before participant and day codes, to tell the swimmers of several labs apart
  --parquet   write each table as Parquet too: tables/TABLE/day=DAY/part-0.parquet
  --replace   put the new pool in place of the one in POOL

Exit status: 0 everything given was pooled; 3 some was refused; 1 nothing could be pooled; 2 wrong usage.`;

export const HELP_FREEZE = `lanebench freeze NAME --days D,D…|all

Freezes days of the lab folder as they stand, with everything decided on them, under a name: their tables, samples,
codebook and provenance are kept by their SHA-256 and never altered. "lanebench verify" reads them through. Swimmers
whose consent is withdrawn or missing are not in it. Nothing is kept where it does not come to its end. The lab folder
is LANEBENCH_HOME, else the per-user default.

  --days D,D  codes of the days, or all

Exit status: 0 frozen; 1 it could not be; 2 wrong usage, or the name is taken.`;

export const HELP_RELEASES = `lanebench releases

Lists the releases of the lab folder, oldest first: name, when and by whom it was frozen, days, swimmers, trials, and
the SHA-256 of the list of its contents.

Exit status: 0; 1 the lab folder cannot be read; 2 wrong usage.`;

export const HELP_EXPORT = `lanebench export NAME --out OUT [--samples] [--parquet] [--curves] [--recordings mat,edf]
                      [--coarse-birth-year] [--notes] [--replace]

Writes a release as a Data Package in the form of "pool": tables with a first column day, datapackage.json, codebook,
provenance, a methods paragraph, and loaders for Python (load.py) and R (load.R). The same release and options give the same bytes. OUT appears whole or not at all; it must be new or empty
and outside the lab folder. A swimmer whose consent was withdrawn since the release was frozen is left out.

  --samples            add samples/day=DAY/TRIAL.parquet: time, raw values and force of both hands
  --parquet            write each table as Parquet too: tables/TABLE/day=DAY/part-0.parquet
  --curves             add curves.csv: mean force of each hand over 0 to 100 % of the stroke cycle, trial by trial
  --recordings KINDS   add recordings/day=DAY/TRIAL.mat (MATLAB level 5) or .edf (EDF+), or both: mat,edf
  --coarse-birth-year  birth years to five years (2003 becomes 2000)
  --notes              free text goes along: reasons for exclusions, and what refused input said
  --replace            put the new one in place of what is in OUT

Exit status: 0 written; 1 it could not be; 2 wrong usage.`;

export const HELP_DIFF = `lanebench diff NAME NAME

Says what changed from one release to another: a line for each row of a swimmer, calibration, trial or stroke that was
added, removed or changed, with the cells that differ, and a sentence at the end.

Exit status: 0 compared, whether they differ or not; 1 one of them is not there; 2 wrong usage.`;

export const HELP_RENEW = `lanebench renew [--take]

Numbers that another version of the program computed stay in the lab folder as they were kept. This computes them beside
what is kept and prints, trial by trial, which of them this version computes otherwise from the same inputs, and why
where a change of the program is noted. Trials whose numbers are the same are kept as this version's without a word. A
day is frozen only when none of its numbers waits.

  --take      put the numbers of this version in place of the kept ones; who did it and when is recorded

Exit status: 0 compared, whether they differ or not, or taken over; 1 it could not be; 2 wrong usage.`;

export const HELP_PAGES = `lanebench pages DAY_FOLDER --out OUT [--pdf] [--replace]
lanebench pages --day D --out OUT [--pdf] [--replace]

Writes a page for each swimmer of a day with a trial, OUT/PARTICIPANT.html: own attempts side by side, the force of both
hands over a stroke, what may be worth trying with the coach, and the cautions, in plain words. Nobody is ranked. With
--day the day is one of the lab folder, with everything decided on it. OUT appears whole or not at all; it must be new or
empty and outside the day folder.

  --pdf       print each page as PDF too; needs an installed browser of the Chromium family
  --replace   put the new pages in place of what is in OUT

Exit status: 0 every page was written; 3 they were, some input of the day was refused; 1 none could be written;
2 wrong usage.`;
