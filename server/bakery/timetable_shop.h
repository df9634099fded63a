/* The bakery at work: the mixes of a plan as batches, the pieces as loads, both as jobs for the
 * machines, and the tasks that come of it. Used by timetable*.c only.
 *
 * Everything belongs to the arena of the reckoning. Times are seconds, as instants are. Machines
 * are the mixers in the order of the bakery, then the decks.
 */
#ifndef MORROWLOAF_BAKERY_TIMETABLE_SHOP_H
#define MORROWLOAF_BAKERY_TIMETABLE_SHOP_H

#include "bakery/plan.h"
#include "bakery/schedule.h"
#include "bakery/timetable.h"

enum { TIMETABLE_JOBS_MAX = 6000, TIMETABLE_EDGES_MAX = 400000, SECONDS_PER_MINUTE = 60 };

/* --- mixes and what is made of them --- */

struct shop_mix {
    const struct planned_mix *planned;
    const struct formula *formula;
    const struct stage *stages; /* of the formula, or one of no minutes when it has none */
    size_t stage_count;
    size_t oven_stage;          /* stage_count: none */
    const struct stage *before; /* what a batch goes through before the oven, at least one */
    size_t before_count;
    bool first_is_mixed; /* no stage says what it uses */
    const struct mixer *mixer;
    int64_t batches;
    int64_t batch_mg;
    fixed sold;       /* what products take */
    fixed used;       /* what other mixes take */
    bool is_part;     /* they take anything */
    size_t gate;      /* job before its batches when it has parts, else SCHEDULE_NONE */
    size_t first_job; /* of its batches; of a part that is baked the loads follow, one a batch */
};

/* Dough of one formula for the pieces of one baking. What products take of a mix is laid end to
 * end in the order of its baking. */
struct portion {
    struct portion *next; /* of the same baking */
    struct shop_mix *mix;
    fixed each;  /* grams of one piece */
    fixed start; /* where the first piece begins */
};

/* The pieces of a baking and what they are made of. */
struct bread {
    const struct baking *baking;
    const struct bake *bake; /* NULL: none of its own */
    struct portion *portions;
    struct portion *dough; /* with an oven stage, the heaviest of several; NULL: it is not baked */
};

/* Batches that a load takes its pieces from. */
struct source {
    struct source *next;
    const struct shop_mix *mix;
    int64_t first, last; /* from 0 */
};

/* What goes into a deck together. */
struct shop_load {
    date bread_day;
    instant ready;              /* SCHEDULE_EVER: when the mixes that take it begin */
    const struct shop_mix *mix; /* whose stages it goes through: the one that cools longest */
    const struct bake *bake;    /* NULL: by the stage */
    const struct oven *oven;    /* that it is cut for, or NULL */
    struct load_item *items;    /* none: a batch of a part */
    size_t item_count, item_room;
    fixed grams; /* of its dough */
    int64_t dough_mg;
    fixed places; /* that it fills, SHARE_ONE each; 0: not known */
    struct source *sources;
    int64_t number; /* from 1, of its bread day and first product; of a part its batch */
};

/* --- jobs and tasks --- */

enum shop_job_kind { JOB_GATE, JOB_BATCH, JOB_LOAD };

struct shop_job {
    enum shop_job_kind kind;
    const struct shop_mix *mix;
    int64_t batch; /* from 1 */
    struct shop_load *load;
    int64_t bread_day; /* the first that it is for */
    instant ready;     /* when its breads are wanted */
    instant latest;    /* when it would end if no machine were taken */
    int64_t lasts;
};

struct shop_deck {
    const struct oven *oven;
    int64_t deck; /* from 1 */
};

struct shop_task {
    struct task task;     /* its after: numbers in the list of the shop */
    size_t machine;       /* SCHEDULE_NONE: none */
    instant due;          /* its breads must be ready when it ends; SCHEDULE_EVER: not yet */
    int64_t cold_mg;      /* that it takes of the cold */
    bool is_dough;        /* of which is told what it waits, */
    instant taken;        /* until the last that needs it begins; INT64_MIN: nothing does */
    size_t taken_by;      /* that task */
    int64_t waits_anyway; /* minutes, before anything was moved */
    bool is_asked;        /* it is of the timetable that is asked for, */
    size_t place;         /* and stands there in it */
};

struct shop {
    const struct reckoning *reckoning;
    struct mixing_plan plan;
    struct shop_mix *mixes; /* every mix before what takes of it */
    size_t mix_count;
    struct bread *breads; /* by bread day, ready, bake, dough, product */
    size_t bread_count;
    struct shop_load *loads;
    size_t load_count, load_room;

    struct shop_deck *decks; /* the smallest first */
    size_t *machines;        /* numbers of all machines: what an operation's list is part of */
    size_t mixer_count;
    size_t deck_count;
    struct schedule_problem problem;
    struct schedule_job *jobs;
    struct shop_job *job_infos;
    size_t job_count;
    struct schedule schedule;

    struct shop_task *tasks; /* every task after what it waits for */
    size_t task_count;
};

struct shop_mix *mix_of_plan(const struct shop *shop, const struct planned_mix *planned);
/* The order in which breads are baked; 0: they may share a load. */
int bread_order(const struct bread *a, const struct bread *b);
/* Of two bakes; 0 when they are the same, step by step. */
int bake_order(const struct bake *a, const struct bake *b);
/* Whether a stage before the oven is done in the mixer. */
bool stage_is_mixed(const struct shop_mix *mix, size_t stage);
/* Minutes in seconds, a century at most. */
int64_t stage_seconds(int64_t minutes);
/* What a load bakes, and how long its breads cool. */
int64_t bake_seconds(const struct shop_mix *mix, const struct bake *bake);
int64_t cool_seconds(const struct shop_mix *mix);

/* The batch, from 0, that holds this place of what products take; of an end the one before it. */
bool batch_at(const struct shop *shop, const struct shop_mix *mix, fixed place, bool is_end,
              int64_t *batch);
bool shop_too_large(const struct shop *shop);

/* The steps, in this order. Each false with faults on the list. */
bool shop_mixes(struct shop *shop, const struct demand *demands, size_t demand_count);
bool shop_loads(struct shop *shop);
bool shop_jobs(struct shop *shop);
bool shop_groups(struct shop *shop); /* the last of the jobs */
bool shop_schedule(struct shop *shop, date last_bread_day);
bool shop_tasks(struct shop *shop);

/* Moves tasks and tells what then waits; is_gone[n]: there is no such task. */
bool shop_move(struct shop *shop, const struct timetable_move *moves, size_t move_count,
               bool *is_gone);
/* What does not hold of the tasks asked for, which have their places in the timetable. Room is left
 * for so many breaks more. */
bool shop_breaks(const struct shop *shop, size_t more, struct timetable *out);
bool shop_hands(const struct shop *shop, struct timetable *out);
bool shop_at_least(const struct shop *shop, struct timetable *out);

#endif
