/* The bakery as it would be with some orders: what the reasons of an offer compare. Of offer.c and
 * last_order.c alone.
 *
 * Whatever costs time is worked out when it is first asked for, and once. The view of the orders as
 * they are lives in the request's arena; that of a trial in an arena of its own, so that a search
 * over many trials holds one of them at a time.
 */
#ifndef MORROWLOAF_BAKERY_OFFER_VIEW_H
#define MORROWLOAF_BAKERY_OFFER_VIEW_H

#include "bakery/offer.h"

struct offer_mix {
    size_t formula;
    date mixing_date;
    instant begins; /* when machines and hands are free at any time */
    fixed dough;
};

/* What the machines cannot bear. */
enum offer_cause {
    FOR_NOTHING,
    FOR_MIXER,
    FOR_OVEN,
    FOR_COLD,
    FOR_ANY /* it was not asked which */
};

struct offer_strain {
    enum offer_cause cause;
    size_t formula; /* that would be late, or NOT_FOUND */
    const struct mixer *mixer;
    const struct oven *oven;
    int64_t minutes; /* late, or waiting too long */
};

struct offer_view {
    struct reckoning reckoning;
    const struct demand *demands;
    size_t demand_count;
    struct offer_mix *mixes; /* of the first night and later; by formula, then date */
    size_t mix_count;
    bool has_timetable;
    struct timetable timetable; /* of the bread day */
    bool wants_cause;           /* which machine is to blame, which takes more timetables */
    bool has_strain;
    struct offer_strain strain;
    struct starter_taking **takings; /* per starter; NULL: not asked for yet */
    size_t *taking_counts;
};

/* What mixes take from the first working day on, in grams: rows by day of the catalogue's
 * ingredients and starters. */
struct offer_uses {
    fixed *lines;
    fixed *starters;
};

/* An offer for a bread day being looked at. */
struct offer_case {
    const struct offer_world *world;
    date bread_day;
    date first_night;               /* no mix for the bread day begins earlier */
    struct offer_view before;       /* the orders as they are */
    struct starter_taking **borne;  /* per starter: what of the takings before can be met, and */
    struct offer_feeding *feedings; /* how; NULL: not asked for yet */
    struct offer_uses uses;         /* of the orders as they are; lines NULL: not asked for yet */
};

/* The nights on which something for the bread day can be mixed. */
void offer_nights(const struct reckoning *reckoning, date bread_day, date *first, date *last);

bool offer_case_open(struct offer_case *offer, const struct offer_world *world, date bread_day);

/* Pieces added to the orders as they are. Close it also when it could not be opened. */
bool offer_trial_open(struct offer_case *offer, size_t product, int64_t pieces,
                      struct offer_view *trial);
void offer_trial_close(struct offer_view *trial);

/* NULL: nothing is mixed of it on that date. */
const struct offer_mix *offer_view_mix(const struct offer_view *view, size_t formula,
                                       date mixing_date);
/* Whether a mix of the trial is more than before, or new. */
bool offer_mix_grows(const struct offer_case *offer, const struct offer_mix *mix);
/* When a mix of a trial begins: as the timetable has it with the orders as they are, else by its
 * stages alone. */
bool offer_mix_begins(struct offer_case *offer, const struct offer_mix *mix, instant *begins);

/* Feeding one starter for takings that may have been cut. */
struct offer_feeding {
    struct starter_taking *takings; /* those that are not cut to nothing */
    size_t *from;                   /* where each stood in the list */
    size_t count;
    struct starter_plan plan; /* of the takings; when there are any */
    bool is_short;
    size_t taking; /* in the list, the first that cannot be met */
    int64_t short_mg;
};

bool offer_view_timetable(const struct offer_case *offer, struct offer_view *view);
bool offer_view_takings(const struct offer_case *offer, struct offer_view *view);

/* The batch that would have to begin too early by most, of those that had not before; task NULL:
 * none. */
struct offer_delay {
    const struct task *task;
    int64_t seconds;
};
struct offer_delay offer_delay_of(const struct offer_case *offer, const struct offer_view *view,
                                  const struct reckoning *reckoning, const struct timetable *table);
/* Which machine it is for want of that a trial has such a batch. */
bool offer_cause_of(const struct offer_case *offer, const struct offer_view *trial,
                    enum offer_cause *cause);
/* Names the dough and the machine for want of which a batch would have to begin too early. */
bool offer_blame(struct offer_view *trial, const struct task *delayed);

/* Whether its log is kept and it was seen to ripen: any other starter binds nothing. */
bool offer_starter_is_kept(const struct offer_world *world, size_t starter);
/* What can be had of a starter with the orders as they are. */
bool offer_borne(struct offer_case *offer, size_t starter);
/* The index of a mix's taking before; NOT_FOUND: it took nothing. */
size_t offer_taking_before(const struct offer_case *offer, size_t starter,
                           const struct starter_taking *taking);
/* The feeding for a trial's takings, less what could not be had anyway. */
bool offer_feeding_of(struct offer_case *offer, const struct offer_view *trial, size_t starter,
                      struct offer_feeding *out);

/* The checks of the table in offer.c: false on trouble, else whether it binds and its figures. */
bool offer_mixer_full(struct offer_case *offer, struct offer_view *trial,
                      struct offer_reason *reason, bool *binds);
bool offer_starter_short(struct offer_case *offer, struct offer_view *trial,
                         struct offer_reason *reason, bool *binds);
bool offer_flour_short(struct offer_case *offer, struct offer_view *trial,
                       struct offer_reason *reason, bool *binds);
bool offer_oven_full(struct offer_case *offer, struct offer_view *trial,
                     struct offer_reason *reason, bool *binds);
bool offer_cold_full(struct offer_case *offer, struct offer_view *trial,
                     struct offer_reason *reason, bool *binds);
bool offer_hands_short(struct offer_case *offer, struct offer_view *trial,
                       struct offer_reason *reason, bool *binds);

#endif
