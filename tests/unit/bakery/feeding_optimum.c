/* Feeding plans held against a general solver: the least waste, and whether there is a plan at all,
 * as a mixed-integer programme that knows nothing of how plans are made here.
 *
 * The programme runs through the slots and demands in the order of time and carries the weight of
 * the pot along. For each slot and ratio there is a choice (1: that feed is given), for each demand
 * and each feed that could be ripe for it another (1: that feed serves it). A feed splits what is
 * there into seed and discard, and the seed grows by its ratio; without a feed all of it stays;
 * which of the two holds is tied to the choices by bounds that are too wide to bind otherwise.
 * Weights are grams.
 *
 * When the solver is done, its choices are fixed and the weights solved for once more: an optimum
 * with choices that are whole only within a tolerance would be off by that much of a kilo.
 */
#include "feeding_case.h"

#include <criterion/criterion.h>
#include <glpk.h>
#include <stdio.h>

TestSuite(feeding_optimum, .timeout = 120);

enum { PROGRAMMES = 400, SOLVER_MILLISECONDS = 2000, TERMS = 400 };

/* --- a programme --- */

/* Columns by what they mean; 0 where there is none. */
struct programme {
    const struct feeding_problem *problem;
    glp_prob *lp;
    double wide; /* grams: more than a pot ever has to hold */
    int fed[CASE_SLOTS][CASE_RATIOS];
    int seed[CASE_SLOTS][CASE_RATIOS];
    int discard[CASE_SLOTS];
    int stays[CASE_SLOTS];
    int serves[CASE_DEMANDS][CASE_SLOTS][CASE_RATIOS];
    int pot_serves[CASE_DEMANDS];
    /* the row that is being written */
    int columns[TERMS + 1];
    double factors[TERMS + 1];
    int terms;
};

static int column(struct programme *p, double most, double cost)
{
    int j = glp_add_cols(p->lp, 1);
    if (most == 0)
        glp_set_col_bnds(p->lp, j, GLP_FX, 0, 0);
    else
        glp_set_col_bnds(p->lp, j, GLP_DB, 0, most);
    glp_set_obj_coef(p->lp, j, cost);
    return j;
}

static int choice(struct programme *p)
{
    int j = glp_add_cols(p->lp, 1);
    glp_set_col_kind(p->lp, j, GLP_BV);
    return j;
}

static void term(struct programme *p, int j, double factor)
{
    if (j == 0) return;
    cr_assert_lt(p->terms, TERMS);
    p->columns[++p->terms] = j;
    p->factors[p->terms] = factor;
}

/* Ends the row: low <= sum of its terms <= high. */
static void row(struct programme *p, int kind, double low, double high)
{
    int i = glp_add_rows(p->lp, 1);
    glp_set_row_bnds(p->lp, i, kind, low, high);
    glp_set_mat_row(p->lp, i, p->terms, p->columns, p->factors);
    p->terms = 0;
}

static double grams(int64_t mg)
{
    return (double)mg / 1000;
}

static bool usable(const struct programme *p, size_t r)
{
    return p->problem->ratios[r].ripe_minutes >= 0;
}

static instant ripe_at(const struct programme *p, size_t k, size_t r)
{
    return p->problem->slots[k] + p->problem->ratios[r].ripe_minutes * CASE_MINUTE;
}

static instant ripe_until(const struct programme *p, size_t k, size_t r)
{
    return ripe_at(p, k, r) + p->problem->stays_ripe_minutes * CASE_MINUTE;
}

static instant starves_at(const struct programme *p, size_t k, size_t r)
{
    instant hungry = p->problem->slots[k] + p->problem->feed_within_minutes * CASE_MINUTE;
    return hungry > ripe_until(p, k, r) ? hungry : ripe_until(p, k, r);
}

/* All choices of a feed at a slot, into the row. */
static void fed_at(struct programme *p, size_t k, double factor)
{
    for (size_t r = 0; r < p->problem->ratio_count; r++)
        term(p, p->fed[k][r], factor);
}

/* --- what may be chosen --- */

static void add_choices(struct programme *p)
{
    const struct feeding_problem *f = p->problem;
    for (size_t k = 0; k < f->slot_count; k++) {
        bool early = f->ripens && !f->may_feed_at_once && f->slots[k] < f->ripe_from;
        for (size_t r = 0; r < f->ratio_count && !early; r++)
            if (usable(p, r)) p->fed[k][r] = choice(p);
        fed_at(p, k, 1);
        row(p, GLP_UP, 0, 1);
    }
}

/* A feed shuts out others until it is ripe, and asks for another before it starves. */
static void add_order(struct programme *p, size_t k, size_t r)
{
    const struct feeding_problem *f = p->problem;
    for (size_t n = k + 1; n < f->slot_count; n++) {
        if (f->slots[n] >= ripe_at(p, k, r)) continue;
        term(p, p->fed[k][r], 1);
        fed_at(p, n, 1);
        row(p, GLP_UP, 0, 1);
    }
    /* The next feed after it, wherever it is: a feed later than it starves needs one between. */
    for (size_t n = k + 1; n <= f->slot_count; n++) {
        bool end = n == f->slot_count;
        if ((end ? f->until : f->slots[n]) <= starves_at(p, k, r)) continue;
        term(p, p->fed[k][r], 1);
        if (!end) fed_at(p, n, 1);
        for (size_t m = k + 1; m < n; m++)
            if (f->slots[m] <= starves_at(p, k, r)) fed_at(p, m, -1);
        row(p, GLP_UP, 0, end ? 0 : 1);
    }
}

static void add_first(struct programme *p)
{
    const struct feeding_problem *f = p->problem;
    if (!f->has_feed_by) return;
    for (size_t n = 0; n <= f->slot_count; n++) {
        bool end = n == f->slot_count;
        if ((end ? f->until : f->slots[n]) <= f->feed_by) continue;
        if (!end) fed_at(p, n, 1);
        for (size_t m = 0; m < f->slot_count; m++)
            if (f->slots[m] <= f->feed_by) fed_at(p, m, -1);
        row(p, GLP_UP, 0, end ? -1 : 0);
    }
}

/* --- who serves a demand --- */

/* Whoever serves it: nobody feeds between. from: the first slot after the one that serves. */
static void shut_out(struct programme *p, int serves, size_t from, instant until)
{
    for (size_t n = from; n < p->problem->slot_count && p->problem->slots[n] < until; n++) {
        term(p, serves, 1);
        fed_at(p, n, 1);
        row(p, GLP_UP, 0, 1);
    }
}

static void serve_from(struct programme *p, size_t d, size_t k, size_t r)
{
    const struct feeding_problem *f = p->problem;
    instant when = f->demands[d].at;
    if (p->fed[k][r] == 0 || f->slots[k] >= when || when < ripe_at(p, k, r) ||
        when > ripe_until(p, k, r))
        return;
    int serves = p->serves[d][k][r] = choice(p);
    term(p, serves, 1);
    term(p, p->fed[k][r], -1);
    row(p, GLP_UP, 0, 0);
    shut_out(p, serves, k + 1, when);
    if (f->feeds_to_wake < 2) return;
    term(p, serves, (double)f->feeds_to_wake);
    for (size_t m = 0; m <= k; m++)
        fed_at(p, m, -1);
    row(p, GLP_UP, 0, 0);
}

static void add_serving(struct programme *p, size_t d)
{
    const struct feeding_problem *f = p->problem;
    instant when = f->demands[d].at;
    if (f->ripens && f->feeds_to_wake == 0 && when >= f->ripe_from && when <= f->ripe_until) {
        p->pot_serves[d] = choice(p);
        shut_out(p, p->pot_serves[d], 0, when);
    }
    for (size_t k = 0; k < f->slot_count; k++)
        for (size_t r = 0; r < f->ratio_count; r++)
            serve_from(p, d, k, r);
    term(p, p->pot_serves[d], 1);
    for (size_t k = 0; k < f->slot_count; k++)
        for (size_t r = 0; r < f->ratio_count; r++)
            term(p, p->serves[d][k][r], 1);
    row(p, GLP_FX, 1, 1); /* an empty row, when nobody can, cannot hold either */
}

/* --- the weights --- */

/* What grows out of a gram of seed. */
static double growth(const struct programme *p, size_t r)
{
    const struct feed_ratio *ratio = &p->problem->ratios[r];
    return (double)(ratio->seed + ratio->flour + ratio->water) / (double)ratio->seed;
}

/* Carries the weight over a slot; before is its column. Returns the column of the weight after. */
static int add_slot(struct programme *p, size_t k, int before)
{
    const struct feeding_problem *f = p->problem;
    double pot = f->pot_mg > 0 ? grams(f->pot_mg) : p->wide;
    p->discard[k] = column(p, p->wide, 1);
    p->stays[k] = column(p, p->wide, 0);
    int after = column(p, p->wide, 0);
    for (size_t r = 0; r < f->ratio_count; r++) {
        if (p->fed[k][r] == 0) continue;
        p->seed[k][r] = column(p, p->wide, 0);
        term(p, p->seed[k][r], growth(p, r));
        term(p, p->fed[k][r], -pot);
        row(p, GLP_UP, 0, 0);
    }
    term(p, before, -1);
    term(p, p->discard[k], 1);
    term(p, p->stays[k], 1);
    for (size_t r = 0; r < f->ratio_count; r++)
        term(p, p->seed[k][r], 1);
    row(p, GLP_FX, 0, 0);
    term(p, after, -1);
    term(p, p->stays[k], 1);
    for (size_t r = 0; r < f->ratio_count; r++)
        term(p, p->seed[k][r], growth(p, r));
    row(p, GLP_FX, 0, 0);
    term(p, p->stays[k], 1);
    fed_at(p, k, p->wide);
    row(p, GLP_UP, 0, p->wide);
    term(p, p->discard[k], 1);
    fed_at(p, k, -p->wide);
    row(p, GLP_UP, 0, 0);
    return after;
}

/* The mother stays: after each feed, and after each taking. A pot that holds less now is all right
 * until something is done to it. */
static void keep_mother(struct programme *p, size_t slots_before, bool taken, int weight)
{
    double keep = grams(p->problem->keep_mg);
    if (p->problem->on_hand_mg >= p->problem->keep_mg || taken) {
        glp_set_col_bnds(p->lp, weight, GLP_DB, keep, p->wide);
        return;
    }
    for (size_t k = 0; k < slots_before; k++) {
        term(p, weight, 1);
        fed_at(p, k, -keep);
        row(p, GLP_LO, 0, 0);
    }
}

static void add_weights(struct programme *p)
{
    const struct feeding_problem *f = p->problem;
    int weight = column(p, p->wide, 0);
    size_t d = 0;
    glp_set_col_bnds(p->lp, weight, GLP_FX, grams(f->on_hand_mg), grams(f->on_hand_mg));
    for (size_t k = 0; k <= f->slot_count; k++) {
        for (; d < f->demand_count && (k == f->slot_count || f->demands[d].at <= f->slots[k]);
             d++) {
            int after = column(p, p->wide, 0);
            term(p, weight, 1);
            term(p, after, -1);
            row(p, GLP_FX, grams(f->demands[d].mg), grams(f->demands[d].mg));
            keep_mother(p, k, true, after);
            weight = after;
        }
        if (k == f->slot_count) break;
        weight = add_slot(p, k, weight);
        keep_mother(p, k + 1, d > 0, weight);
    }
    glp_set_obj_coef(p->lp, weight, 1);
    glp_set_obj_coef(p->lp, 0, -grams(f->keep_mg));
}

static void programme_of(struct programme *p, const struct feeding_problem *problem)
{
    int64_t most = problem->on_hand_mg + problem->keep_mg;
    *p = (struct programme){.problem = problem, .lp = glp_create_prob()};
    for (size_t d = 0; d < problem->demand_count; d++)
        most += problem->demands[d].mg;
    p->wide = grams(most) * 2;
    glp_set_obj_dir(p->lp, GLP_MIN);
    add_choices(p);
    for (size_t k = 0; k < problem->slot_count; k++)
        for (size_t r = 0; r < problem->ratio_count; r++)
            if (p->fed[k][r] != 0) add_order(p, k, r);
    add_first(p);
    add_weights(p);
    for (size_t d = 0; d < problem->demand_count; d++)
        add_serving(p, d);
}

/* --- solving --- */

enum verdict { SOLVED, NO_PLAN, UNCLEAR };

/* With the choices as they are, the weights alone. */
static enum verdict solve_weights(struct programme *p, double *waste)
{
    glp_smcp how;
    glp_init_smcp(&how);
    how.presolve = GLP_ON;
    how.msg_lev = GLP_MSG_OFF;
    for (int j = 1; j <= glp_get_num_cols(p->lp); j++) {
        if (glp_get_col_kind(p->lp, j) != GLP_BV) continue;
        double chosen = glp_mip_col_val(p->lp, j) > 0.5 ? 1 : 0;
        glp_set_col_bnds(p->lp, j, GLP_FX, chosen, chosen);
    }
    if (glp_simplex(p->lp, &how) != 0 || glp_get_status(p->lp) != GLP_OPT) return UNCLEAR;
    *waste = glp_get_obj_val(p->lp);
    return SOLVED;
}

static enum verdict solve(struct programme *p, double *waste)
{
    glp_iocp how;
    glp_init_iocp(&how);
    how.presolve = GLP_ON;
    how.msg_lev = GLP_MSG_OFF;
    how.tm_lim = SOLVER_MILLISECONDS;
    how.tol_int = 1e-7;
    int trouble = glp_intopt(p->lp, &how);
    if (trouble == GLP_ENOPFS) return NO_PLAN;
    if (trouble != 0) return UNCLEAR;
    if (glp_mip_status(p->lp) == GLP_NOFEAS) return NO_PLAN;
    if (glp_mip_status(p->lp) != GLP_OPT) return UNCLEAR;
    return solve_weights(p, waste);
}

/* Which of the two is told, or UNCLEAR. */
static enum verdict optimum_of(const struct feeding_problem *problem, double *waste)
{
    static struct programme programme; /* too large for the stack */
    programme_of(&programme, problem);
    enum verdict verdict = solve(&programme, waste);
    if (*waste < 0) *waste = 0; /* a pot that holds less than the mother, left alone */
    glp_delete_prob(programme.lp);
    return verdict;
}

Test(feeding_optimum, waste_is_what_a_general_solver_finds)
{
    size_t compared = 0, impossible = 0, fed = 0, twice = 0, woken = 0;
    const double rounding = 0.05; /* grams: of milligrams, from feed to feed */
    glp_term_out(GLP_OFF);
    for (uint64_t seed = 1; seed <= PROGRAMMES; seed++) {
        struct feeding_case *c = case_random(seed, true);
        struct feeding_plan plan = case_plan(c);
        double least = 0;
        enum verdict verdict = optimum_of(&c->problem, &least);
        if (verdict != UNCLEAR) {
            double waste = grams(plan.waste_mg);
            cr_assert_eq(plan.possible, verdict == SOLVED, "seed %lu", seed);
            if (plan.possible)
                cr_assert(waste <= least + rounding && waste >= least - rounding,
                          "seed %lu: %.3f g, least %.3f g", seed, waste, least);
            compared++;
            impossible += !plan.possible;
            fed += plan.possible && plan.feed_count > 0;
            twice += plan.possible && plan.feed_count > 1;
            woken += plan.possible && c->problem.feeds_to_wake > 0 && plan.feed_count > 1;
        }
        case_free(c);
    }
    glp_free_env();
    cr_log_info("%zu compared, %zu impossible, %zu fed, %zu more than once, %zu woken", compared,
                impossible, fed, twice, woken);
    cr_expect_geq(compared, PROGRAMMES * 9 / 10);
    cr_expect_geq(impossible, 100);
    cr_expect_geq(fed, 120);
    cr_expect_geq(twice, 50);
    cr_expect_geq(woken, 8);
}
