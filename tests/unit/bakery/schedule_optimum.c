/* Small days at random: the places found against the optimum of a general solver (GLPK), which is
 * told the same rules in its own way, as a mixed integer programme.
 *
 * What is compared is the time from the first begin to the last that is wanted. Preheating is left
 * out of both. Days that the solver cannot settle in its time are not counted.
 */
#include "bakery/schedule.h"
#include "base/arena.h"

#include <criterion/criterion.h>
#include <glpk.h>
#include <stdio.h>

TestSuite(schedule_optimum, .timeout = 110);

enum {
    DAYS = 160,
    COMPARED_LEAST = 60,
    COMPARED_MOST = 75,
    GAP_MOST = 10,     /* percent */
    SOLVER_TIME = 600, /* milliseconds a day */
    MIXERS_MOST = 2,
    DECKS_MOST = 3,
    JOBS_MOST = 24,
    OPS_MOST = 4
};

/* --- a day at random --- */

struct day {
    struct arena *arena;
    struct schedule_problem problem;
    struct schedule_job jobs[JOBS_MOST];
    struct schedule_op ops[JOBS_MOST][OPS_MOST];
    size_t feeds[JOBS_MOST][JOBS_MOST];
    struct schedule_machine machines[MIXERS_MOST + DECKS_MOST];
    size_t mixers[MIXERS_MOST];
    size_t decks[DECKS_MOST];
    size_t mixer_count, deck_count, job_count;
    int64_t due;
    uint64_t dice;
};

static int64_t roll(struct day *day, int64_t low, int64_t high)
{
    day->dice ^= day->dice << 13;
    day->dice ^= day->dice >> 7;
    day->dice ^= day->dice << 17;
    return low + (int64_t)(day->dice % (uint64_t)(high - low + 1));
}

static size_t add_job(struct day *day, int64_t due)
{
    size_t at = day->job_count++;
    cr_assert_lt(at, (size_t)JOBS_MOST);
    day->jobs[at] = (struct schedule_job){
        .ops = day->ops[at], .feeds = day->feeds[at], .due = due, .keeps = SCHEDULE_EVER};
    return at;
}

static void add_op(struct day *day, size_t job, int64_t lasts, int64_t most)
{
    day->ops[job][day->jobs[job].op_count++] = (struct schedule_op){.lasts = lasts, .most = most};
}

static void feed(struct day *day, size_t from, size_t to)
{
    day->feeds[from][day->jobs[from].feed_count++] = to;
}

static void on(struct day *day, size_t job, size_t op, const size_t *machines, size_t count)
{
    day->ops[job][op].machines = machines;
    day->ops[job][op].machine_count = count;
}

/* Mixed, fermented and shaped; sometimes it may ferment longer, sometimes in the cold. */
static size_t add_batch(struct day *day, size_t mixer, const int64_t minutes[3])
{
    size_t job = add_job(day, SCHEDULE_EVER);
    add_op(day, job, minutes[0], minutes[0]);
    add_op(day, job, minutes[1], minutes[1] + 5 * roll(day, 0, 1) * roll(day, 0, 12));
    add_op(day, job, minutes[2], minutes[2]);
    on(day, job, 0, &day->mixers[mixer], 1);
    if (day->problem.cold != SCHEDULE_EVER) day->ops[job][1].cold = roll(day, 2, 6);
    return job;
}

static size_t add_load(struct day *day, int64_t bake, int64_t cool)
{
    size_t job = add_job(day, day->due - 5 * roll(day, 0, 1) * roll(day, 0, 6));
    add_op(day, job, bake, bake);
    add_op(day, job, cool, cool);
    on(day, job, 0, day->decks, day->deck_count);
    return job;
}

/* A dough of one or two batches and its loads; the last load may need dough of both. */
static void add_dough(struct day *day, size_t part, size_t part_count)
{
    int64_t minutes[] = {5 * roll(day, 2, 6), 5 * roll(day, 6, 40), 5 * roll(day, 2, 20)};
    size_t mixer = (size_t)roll(day, 0, (int64_t)day->mixer_count - 1);
    int64_t bake = 5 * roll(day, 4, 10);
    int64_t cool = 5 * roll(day, 0, 10);
    size_t batches = (size_t)roll(day, 1, 2);
    size_t first = day->job_count;
    size_t gate = first;
    if (part_count > 0) gate = add_job(day, SCHEDULE_EVER);
    for (size_t n = 0; part_count > 0 && n < part_count; n++)
        feed(day, part + n, gate);
    size_t batch = day->job_count;
    for (size_t n = 0; n < batches; n++)
        add_batch(day, mixer, minutes);
    for (size_t n = 0; part_count > 0 && n < batches; n++)
        feed(day, gate, batch + n);
    for (size_t n = 0; n < batches; n++)
        for (int64_t loads = roll(day, 1, 2); loads > 0; loads--)
            feed(day, batch + n, add_load(day, bake, cool));
    if (batches == 2 && roll(day, 0, 1)) feed(day, batch, day->job_count - 1);
}

static void add_machines(struct day *day)
{
    day->mixer_count = (size_t)roll(day, 1, MIXERS_MOST);
    day->deck_count = (size_t)roll(day, 1, DECKS_MOST);
    for (size_t n = 0; n < day->mixer_count; n++)
        day->mixers[n] = n;
    for (size_t n = 0; n < day->deck_count; n++) {
        day->decks[n] = day->mixer_count + n;
        day->machines[day->mixer_count + n].recovery = 5 * roll(day, 0, 2);
    }
    for (size_t n = 1; n < day->deck_count; n++)
        day->machines[day->mixer_count + n].recovery = day->machines[day->mixer_count].recovery;
}

static struct day *random_day(uint64_t seed)
{
    struct arena *arena = arena_new(0);
    struct day *day = arena_alloc(arena, sizeof *day);
    cr_assert_not_null(day);
    day->arena = arena;
    day->dice = seed * 2654435761u + 88172645463325252u;
    day->due = 10000;
    add_machines(day);
    bool cold = roll(day, 0, 2) == 0;
    day->problem = (struct schedule_problem){.jobs = day->jobs,
                                             .machines = day->machines,
                                             .cold = cold ? roll(day, 7, 12) : SCHEDULE_EVER};
    size_t parts = (size_t)roll(day, 0, 1);
    if (parts > 0) {
        int64_t minutes[] = {10, 5 * roll(day, 24, 60), 0};
        add_batch(day, 0, minutes);
    }
    for (int64_t doughs = roll(day, 2, 3); doughs > 0; doughs--)
        add_dough(day, 0, roll(day, 0, 1) ? parts : 0);
    if (parts > 0 && day->jobs[0].feed_count == 0) day->jobs[0].due = day->due;
    day->problem.job_count = day->job_count;
    day->problem.machine_count = day->mixer_count + day->deck_count;
    return day;
}

/* --- the same day as a mixed integer programme ---
 *
 * Times run from -span to 0, the last that is wanted. Columns: the begin of every job, what every
 * operation is stretched by, and the first begin, which is to be as late as possible. */

struct programme {
    const struct day *day;
    glp_prob *lp;
    double span;
    int begins[JOBS_MOST];
    int stretch[JOBS_MOST][OPS_MOST];
    int first;
    int row[JOBS_MOST * 4]; /* the row in hand: columns, */
    double factor[JOBS_MOST * 4];
    int length;
};

static int column(struct programme *p, double low, double high)
{
    int at = glp_add_cols(p->lp, 1);
    glp_set_col_bnds(p->lp, at, low < high ? GLP_DB : GLP_FX, low, high);
    return at;
}

static int binary(struct programme *p)
{
    int at = glp_add_cols(p->lp, 1);
    glp_set_col_kind(p->lp, at, GLP_BV);
    return at;
}

/* Adds to the row in hand; a column that is there already is added to. */
static void term(struct programme *p, int at, double factor)
{
    for (int n = 1; n <= p->length; n++)
        if (p->row[n] == at) {
            p->factor[n] += factor;
            return;
        }
    p->row[++p->length] = at;
    p->factor[p->length] = factor;
}

/* The row in hand is no more than that. */
static void at_most(struct programme *p, double most)
{
    int at = glp_add_rows(p->lp, 1);
    glp_set_row_bnds(p->lp, at, GLP_UP, 0, most);
    glp_set_mat_row(p->lp, at, p->length, p->row, p->factor);
    p->length = 0;
}

/* The begin of an operation, op_count for the end of the job: adds it to the row and returns what
 * is known of it. */
static double time_of(struct programme *p, size_t job, size_t op, double factor)
{
    double known = 0;
    term(p, p->begins[job], factor);
    for (size_t k = 0; k < op; k++) {
        const struct schedule_op *of = &p->day->ops[job][k];
        known += (double)of->lasts;
        if (of->most > of->lasts) term(p, p->stretch[job][k], factor);
    }
    return factor * known;
}

static void add_columns(struct programme *p)
{
    const struct day *day = p->day;
    p->first = column(p, -p->span, 0);
    glp_set_obj_coef(p->lp, p->first, 1);
    for (size_t j = 0; j < day->job_count; j++) {
        p->begins[j] = column(p, -p->span, 0);
        for (size_t k = 0; k < day->jobs[j].op_count; k++)
            if (day->ops[j][k].most > day->ops[j][k].lasts)
                p->stretch[j][k] = column(p, 0,
                                          (double)(day->ops[j][k].most - day->ops[j][k].lasts));
    }
}

static void add_chains(struct programme *p)
{
    const struct day *day = p->day;
    for (size_t j = 0; j < day->job_count; j++) {
        const struct schedule_job *job = &day->jobs[j];
        if (job->op_count > 0) {
            term(p, p->first, 1);
            term(p, p->begins[j], -1);
            at_most(p, 0);
        }
        if (job->due != SCHEDULE_EVER) {
            double known = time_of(p, j, job->op_count, 1);
            at_most(p, (double)(job->due - day->due) - known);
        }
        for (size_t n = 0; n < job->feed_count; n++) {
            double known = time_of(p, j, job->op_count, 1);
            term(p, p->begins[job->feeds[n]], -1);
            at_most(p, -known);
        }
    }
}

/* a's operation ends, with its recovery, before b's begins, when all the switches are 1. */
static void before(struct programme *p, size_t a, size_t b, double recovery, const int *switches,
                   int count)
{
    double known = time_of(p, a, 1, 1) + time_of(p, b, 0, -1) + recovery;
    for (int n = 0; n < count; n++)
        term(p, switches[n], p->span + recovery);
    at_most(p, count * (p->span + recovery) - known);
}

/* One of two that share a machine comes first. */
static void one_first(struct programme *p, size_t a, size_t b, double recovery, const int *both,
                      int count)
{
    int switches[3];
    int order = binary(p);
    int other = binary(p);
    for (int n = 0; n < count; n++)
        switches[n] = both[n];
    term(p, order, 1);
    term(p, other, 1);
    at_most(p, 1);
    term(p, order, -1);
    term(p, other, -1);
    for (int n = 0; n < count; n++)
        term(p, both[n], 1);
    at_most(p, count - 1);
    switches[count] = order;
    before(p, a, b, recovery, switches, count + 1);
    switches[count] = other;
    before(p, b, a, recovery, switches, count + 1);
}

static bool mixed_together(const struct day *day, size_t a, size_t b)
{
    const struct schedule_op *one = day->ops[a];
    const struct schedule_op *two = day->ops[b];
    return one->machine_count == 1 && two->machine_count == 1 && *one->machines == *two->machines;
}

static bool is_load(const struct day *day, size_t job)
{
    return day->jobs[job].op_count > 0 && day->ops[job]->machines == day->decks;
}

static void add_mixers(struct programme *p)
{
    for (size_t a = 0; a < p->day->job_count; a++)
        for (size_t b = a + 1; b < p->day->job_count; b++)
            if (!is_load(p->day, a) && !is_load(p->day, b) && mixed_together(p->day, a, b))
                one_first(p, a, b, 0, NULL, 0);
}

/* Every load goes into one deck; which deck is called the first is all the same, so the n-th load
 * goes into one of the first n. */
static void add_decks(struct programme *p)
{
    const struct day *day = p->day;
    int in[JOBS_MOST][DECKS_MOST];
    size_t loads = 0;
    double recovery = (double)day->machines[day->decks[0]].recovery;
    for (size_t a = 0; a < day->job_count; a++) {
        if (!is_load(day, a)) continue;
        loads++;
        for (size_t d = 0; d < day->deck_count; d++) {
            in[a][d] = binary(p);
            if (d >= loads) glp_set_col_bnds(p->lp, in[a][d], GLP_FX, 0, 0);
        }
        for (size_t d = 0; d < day->deck_count; d++)
            term(p, in[a][d], -1);
        at_most(p, -1);
        for (size_t b = 0; b < a; b++)
            for (size_t d = 0; is_load(day, b) && d < day->deck_count; d++)
                one_first(p, a, b, recovery, (int[]){in[a][d], in[b][d]}, 2);
    }
}

/* Whether b's cold operation has begun when a's begins and has not ended: two switches and their
 * conjunction, which is returned. */
static int in_the_cold(struct programme *p, size_t a, size_t b, int begun)
{
    int lasts = binary(p);
    int both = binary(p);
    double known = time_of(p, b, 2, 1) + time_of(p, a, 1, -1);
    term(p, lasts, -p->span);
    at_most(p, -known);
    known = time_of(p, a, 1, 1) + time_of(p, b, 1, -1);
    term(p, begun, -p->span);
    at_most(p, -known);
    term(p, begun, 1);
    term(p, lasts, 1);
    term(p, both, -1);
    at_most(p, 1);
    return both;
}

/* At the begin of every cold operation there is room for it. */
static void add_cold(struct programme *p)
{
    const struct day *day = p->day;
    int begun[JOBS_MOST][JOBS_MOST];
    if (day->problem.cold == SCHEDULE_EVER) return;
    for (size_t a = 0; a < day->job_count; a++)
        for (size_t b = 0; b < day->job_count; b++)
            begun[a][b] = a != b && day->ops[a][1].cold > 0 && day->ops[b][1].cold > 0 ? binary(p)
                                                                                       : 0;
    for (size_t a = 0; a < day->job_count; a++) {
        int there[JOBS_MOST];
        for (size_t b = 0; b < day->job_count; b++)
            there[b] = begun[a][b] ? in_the_cold(p, a, b, begun[a][b]) : 0;
        for (size_t b = 0; b < day->job_count; b++)
            if (there[b]) term(p, there[b], (double)day->ops[b][1].cold);
        if (p->length > 0) at_most(p, (double)(day->problem.cold - day->ops[a][1].cold));
        for (size_t b = 0; b < a; b++)
            if (begun[a][b]) {
                term(p, begun[a][b], -1);
                term(p, begun[b][a], -1);
                at_most(p, -1);
            }
    }
}

/* The shortest span, or 0 when the solver did not get there in its time. */
static double shortest(const struct day *day, double span)
{
    struct programme p = {.day = day, .lp = glp_create_prob(), .span = span};
    double found = 0;
    glp_iocp how;
    glp_set_obj_dir(p.lp, GLP_MAX);
    add_columns(&p);
    add_chains(&p);
    add_mixers(&p);
    add_decks(&p);
    add_cold(&p);
    glp_init_iocp(&how);
    how.presolve = GLP_ON;
    how.msg_lev = GLP_MSG_OFF;
    how.tm_lim = SOLVER_TIME;
    how.mir_cuts = GLP_ON;
    int refused = glp_intopt(p.lp, &how);
    cr_assert(refused == 0 || refused == GLP_ETMLIM, "solver: %d", refused);
    int status = glp_mip_status(p.lp);
    cr_assert(refused != 0 || status == GLP_OPT, "the solver finds no way: %d", status);
    if (refused == 0) found = -glp_mip_obj_val(p.lp);
    glp_delete_prob(p.lp);
    return found;
}

/* --- comparing --- */

static int64_t first_begin(const struct day *day, const struct schedule *found)
{
    int64_t first = day->due;
    for (size_t j = 0; j < day->job_count; j++) {
        int64_t begins = found->places[found->first[j]].begins;
        if (day->jobs[j].op_count > 0 && begins < first) first = begins;
    }
    return first;
}

Test(schedule_optimum, small_days_come_close_to_the_optimum)
{
    int compared = 0;
    int exact = 0;
    double worst = 0;
    double sum = 0;
    glp_term_out(GLP_OFF);
    for (uint64_t seed = 1; seed <= DAYS && compared < COMPARED_MOST; seed++) {
        struct schedule found;
        struct day *day = random_day(seed);
        cr_assert(schedule_solve(day->arena, &day->problem, &found));
        double span = (double)(day->due - first_begin(day, &found));
        double least = found.warm == 0 ? shortest(day, span) : 0;
        if (least > 0) {
            double gap = 100 * (span - least) / least;
            cr_expect_leq(gap, (double)GAP_MOST, "day %lu: %.0f, optimum %.0f", (unsigned long)seed,
                          span, least);
            cr_assert_geq(gap, -0.001, "day %lu: better than the optimum", (unsigned long)seed);
            compared++;
            exact += gap < 0.001;
            sum += gap > 0 ? gap : 0;
            if (gap > worst) worst = gap;
        }
        arena_free(day->arena);
    }
    printf("%d small days: worst gap %.2f %%, mean %.2f %%, %d at the optimum\n", compared, worst,
           sum / compared + 0.0, exact);
    cr_expect_geq(compared, COMPARED_LEAST);
    glp_free_env();
}
