/* The timetable: every stage of every dough of a bread day as a schedule for the bakery's mixers,
 * ovens, cold space and hands, worked out backwards from the ready times.
 *
 * A mix goes batch by batch through the stages of its formula up to the oven; from the oven on its
 * pieces go load by load. The stages of one batch follow each other at once: only a stage with
 * most_minutes may last longer, and what still has to wait for the oven is told (waits_minutes).
 * A mixer takes one batch at a time, a deck one load; the cold space holds no more dough than it
 * can, and dough that waits in it stays in it. Hands are shown where they do not suffice, they bend
 * nothing. Nothing is late as long as nobody moves it: what has no room is made earlier.
 *
 * Bread days are scheduled one after the other, ascending: what the days before have taken of the
 * machines is taken. The list of a day is therefore the same whichever day is asked for, as long as
 * the days that stand in each other's way lie within the horizon of each.
 *
 * Ids: "mix:FORMULA:MIXING-DATE:BATCH:STAGE", "load:PRODUCT:BREAD-DAY:NUMBER" (by its first
 * product), "cool:PRODUCT:BREAD-DAY:NUMBER:STAGE", "heat:OVEN:DECK:BREAD-DAY:NUMBER"; what is baked
 * as a part of another dough has "part.FORMULA:MIXING-DATE" instead of product and day.
 */
#ifndef MORROWLOAF_BAKERY_TIMETABLE_H
#define MORROWLOAF_BAKERY_TIMETABLE_H

#include "bakery/mixing.h"

enum task_kind {
    TASK_MIX,     /* occupies a mixer */
    TASK_STAGE,   /* any other stage of a batch before the oven */
    TASK_PREHEAT, /* of a deck before its first load of the day */
    TASK_LOAD,    /* a bake */
    TASK_COOL     /* stages of a load after the oven: the last of them ends when it may be packed */
};

struct load_item {
    size_t product;
    int64_t pieces;
};

struct task {
    const char *id; /* the same from one reckoning to the next as long as the thing itself is */
    enum task_kind kind;
    date bread_day; /* the earliest that it is for */
    const date *bread_days;
    size_t bread_day_count;
    size_t formula;            /* NOT_FOUND: preheating */
    date mixing_date;          /* of its mix */
    int64_t batch;             /* from 1; 0: of a load or a deck */
    int64_t batches;           /* of the mix */
    int64_t dough_mg;          /* of the batch or the load */
    const struct stage *stage; /* NULL: preheating. Of a formula without stages, or that begins in
                                  the oven: "mix" of no minutes, none of the formula's */
    instant begins, ends;
    int64_t waits_minutes; /* of dough, after its end, until the last that needs it begins: for the
                              oven, for other batches, or by a move */
    int64_t hands;
    const struct mixer *mixer;     /* or NULL */
    const struct oven *oven;       /* or NULL */
    int64_t deck;                  /* of the oven, from 1 */
    const struct load_item *items; /* of a load and its cooling */
    size_t item_count;
    const struct bake *bake; /* of a load: its steps; NULL: by the formula's stage only */
    instant ready;           /* when its breads are wanted */
    const size_t *after;     /* tasks that must have ended: indexes */
    size_t after_count;
    bool moved; /* by hand */
};

/* More hands are needed than are there. */
struct hands_short {
    instant from, to;
    int64_t needed;
    int64_t there;
};

enum break_kind {
    BREAK_ORDER, /* begins before what it waits for has ended */
    BREAK_MIXER, /* two batches in one mixer */
    BREAK_DECK,  /* two loads in one deck, or no time to recover */
    BREAK_COLD,  /* more dough in the cold than it holds */
    BREAK_LATE,  /* not ready in time */
    BREAK_WAITS, /* has to wait longer than most_minutes; where none are given, longer than
                    without the moves */
    BREAK_GONE   /* a move of a task that is no longer there */
};

struct timetable_break {
    enum break_kind kind;
    size_t task;     /* NOT_FOUND: gone */
    size_t other;    /* the other task, or NOT_FOUND */
    int64_t minutes; /* by how much too long, late or early; or 0 */
    const char *id;  /* of the task */
};

struct timetable_move {
    date bread_day;
    const char *task;
    instant begins;
};

struct timetable {
    struct task *tasks; /* by begin, then id */
    size_t task_count;
    struct hands_short *hands;
    size_t hands_count;
    struct timetable_break *breaks; /* by task, then kind; none as long as nothing was moved and
                                       everything fits */
    size_t break_count;
    instant begins, ends;
    int64_t minutes;          /* from the first begin to the last end */
    int64_t at_least_minutes; /* no schedule of these tasks on these machines is shorter */
};

/* The bread days whose orders matter for the timetable of a bread day. */
void timetable_horizon(const struct reckoning *reckoning, date bread_day, date *first, date *last);

/* All tasks for a bread day, with its shared mixes whole. demands must cover timetable_horizon();
 * moves may be of any day. Moved tasks begin when they were told to, the others as they were worked
 * out; what then does not hold is in breaks. More than some thousand batches and loads are refused
 * (FAIL_INVALID at ""). */
bool timetable_of(const struct reckoning *reckoning, date bread_day, const struct demand *demands,
                  size_t demand_count, const struct timetable_move *moves, size_t move_count,
                  struct timetable *out);

/* The same for a working day: whatever is done in it, for whichever bread day. */
void run_sheet_horizon(const struct reckoning *reckoning, date working_day, date *first,
                       date *last);
bool run_sheet_of(const struct reckoning *reckoning, date working_day, const struct demand *demands,
                  size_t demand_count, const struct timetable_move *moves, size_t move_count,
                  struct timetable *out);

/* Pairs of hands that are there at a moment by the shifts, and until when that stays so. */
int64_t hands_there(const struct reckoning *reckoning, instant at, instant *until);

/* Pieces that one deck of the oven takes in one load: per_place x places; 0: no bake is known. */
int64_t deck_capacity(const struct oven *oven, const struct bake *bake);

#endif
