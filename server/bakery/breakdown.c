/* Working out every formula of a catalogue, parts before what takes them.
 *
 * Invariants, for formulas without a fault, up to the last places of a share:
 * - lines sum to the whole dough, and so do ingredients;
 * - with basis total, ingredients are the ingredient lines' percentages over their sum, whatever
 *   the parts are;
 * - no share is below zero, and what is zero in exact arithmetic is zero here (see slack below).
 *
 * How far the last places can be off: a share of a composition is one rounded quotient with basis
 * total; with basis final it is a sum over the lines of rounded products with compositions one
 * level down, whose weights sum to one, so that each level adds at most half a unit of 10^-24 a
 * line and one for the rest, and never multiplies what was there. Nine levels of a hundred lines
 * stay below SLACK_UNITS. A part told by its flour weighs (flour wanted / its flour share f), which
 * multiplies its error by 1 / f. The amounts taken out of a line therefore carry at most
 * SLACK_UNITS x (1 + 1 / f) units a part, and a line that close to nothing is nothing. For a part
 * of a hundredth flour that is 10^-19 of the dough. The least step of a stored percentage is 10^-6
 * of the flour: more than the slack down to parts of a ten thousand millionth flour.
 */
#include "bakery/breakdown.h"

#include "bakery/order.h"
#include "base/arena.h"
#include "base/decimal.h"

#include <stdio.h>

enum { SLACK_UNITS = 1000, POINTER_MAX = 64 };

struct work {
    struct arena *arena;
    const struct catalogue *catalogue;
    struct catalogue_faults *faults;
    struct breakdowns *out;
    struct formula_order order;
    fixed *held;       /* per ingredient, of the formula at hand: what its parts hold */
    size_t *last_line; /* per ingredient, of the formula at hand: its last line or NOT_FOUND */
};

/* The formula at hand. */
struct making {
    struct work *work;
    size_t index;
    const struct formula *formula;
    struct breakdown *made;
    fixed total;    /* percentages that make up the whole: with basis final of all lines, with basis
                       total of the ingredient lines */
    fixed slack;    /* what is nearer to zero than this is zero */
    bool known;     /* every line names something that could be worked out */
    bool too_large; /* a figure did not fit */
};

static bool fault(const struct making *m, const char *path, const char *text)
{
    return catalogue_fault_add(m->work->faults, FAULT_FORMULA, m->index, path, "%s", text);
}

static bool line_fault(const struct making *m, size_t n, const char *member, const char *text)
{
    char path[POINTER_MAX];
    snprintf(path, sizeof path, "/lines/%zu%s", n, member);
    return fault(m, path, text);
}

/* a x b / c of figures at hand; remembers when it does not fit. */
static fixed scaled(struct making *m, fixed a, fixed b, fixed c)
{
    fixed result = 0;
    if (!fixed_muldiv(a, b, c, ROUND_HALF_EVEN, &result)) m->too_large = true;
    return result;
}

static void add(struct making *m, fixed *sum, fixed more)
{
    if (!fixed_add(*sum, more, sum)) m->too_large = true;
}

static const struct ingredient *ingredient_of(const struct making *m, const struct line *line)
{
    if (line->kind != LINE_INGREDIENT || line->index == NOT_FOUND) return NULL;
    return &m->work->catalogue->ingredients[line->index];
}

static bool is_flour(const struct making *m, const struct line *line)
{
    const struct ingredient *ingredient = ingredient_of(m, line);
    return ingredient && ingredient->kind == KIND_FLOUR;
}

/* --- starters --- */

/* Whether the starter can be worked out: its blend is whole, its ingredients are known (if not,
 * that was reported when the codes were resolved). */
static bool starter_is_sound(const struct work *work, size_t index)
{
    const struct starter *starter = &work->catalogue->starters[index];
    bool sound = starter->water_index != NOT_FOUND;
    fixed blend = 0;
    for (size_t n = 0; n < starter->flour_count; n++) {
        blend += starter->flours[n].pct;
        if (starter->flours[n].index == NOT_FOUND) sound = false;
    }
    if (blend != PERCENT_WHOLE)
        return catalogue_fault_add(work->faults, FAULT_STARTER, index, "/flours",
                                   "the flours do not sum to 100 %%");
    return sound;
}

/* SHARE_ONE x part / whole: fits, as the part is no more than the whole. */
static fixed share_of(fixed part, fixed whole)
{
    fixed share = 0;
    fixed_muldiv(SHARE_ONE, part, whole, ROUND_HALF_EVEN, &share);
    return share;
}

/* At hydration h, S grams hold S / (1 + h) flour, the rest water; the flour divides by the blend.
 * False when memory is short. */
static bool make_starter(struct work *work, size_t index)
{
    if (!starter_is_sound(work, index)) return !work->faults->failed;
    const struct starter *starter = &work->catalogue->starters[index];
    fixed *shares = arena_array(work->arena, work->catalogue->ingredient_count, sizeof *shares);
    if (!shares) return false;
    fixed whole = (fixed)PERCENT_WHOLE + starter->hydration_pct;
    for (size_t n = 0; n < starter->flour_count; n++)
        shares[starter->flours[n].index] += share_of(starter->flours[n].pct, whole);
    shares[starter->water_index] += share_of(starter->hydration_pct, whole);
    work->out->starters[index] = shares;
    return true;
}

/* --- what can be told from the lines alone --- */

static void check_line_kinds(const struct making *m)
{
    for (size_t n = 0; n < m->formula->line_count; n++) {
        const struct line *line = &m->formula->lines[n];
        if (!line->flour_share) continue;
        if (line->kind == LINE_INGREDIENT)
            line_fault(m, n, "", "an ingredient has a pct, not a flour_pct");
        else if (m->formula->basis == BASIS_FINAL)
            line_fault(m, n, "", "flour_pct is for formulas of basis total");
    }
}

static void flour_fault(const struct making *m, fixed flour)
{
    char sum[DECIMAL_TEXT_SIZE];
    decimal_print(sum, flour > INT64_MAX ? INT64_MAX : (int64_t)flour, PERCENT_PLACES, 0);
    catalogue_fault_add(m->work->faults, FAULT_FORMULA, m->index, "/lines",
                        "the flour lines sum to %s %%, not to 100 %%", sum);
}

/* Flour lines sum to 100; a soaker or filling of basis final has none. A line that names nothing
 * known may have been meant to be the flour: then the sum is not judged. */
static void check_sums(struct making *m)
{
    fixed flour = 0;
    bool has_flour = m->formula->basis == BASIS_TOTAL;
    bool found = true;
    for (size_t n = 0; n < m->formula->line_count; n++) {
        const struct line *line = &m->formula->lines[n];
        if (m->formula->basis == BASIS_FINAL || line->kind == LINE_INGREDIENT)
            m->total += line->pct;
        if (line->index == NOT_FOUND) found = false;
        if (!is_flour(m, line)) continue;
        flour += line->pct;
        has_flour = true;
    }
    if (m->total == 0)
        fault(m, "/lines", "the lines sum to nothing");
    else if (found && has_flour && flour != PERCENT_WHOLE)
        flour_fault(m, flour);
}

/* Circles and depth. Sets levels and the minutes of the longest part. */
static void check_nesting(struct making *m)
{
    const struct formula_order *order = &m->work->order;
    for (size_t n = 0; n < m->formula->line_count; n++) {
        const struct line *line = &m->formula->lines[n];
        if (line->kind != LINE_FORMULA || line->index == NOT_FOUND) continue;
        const struct breakdown *part = &m->work->out->items[line->index];
        if (line->index == m->index)
            line_fault(m, n, "/formula", "a formula cannot contain itself");
        else if (order->circle[line->index] == order->circle[m->index])
            line_fault(m, n, "/formula", "this part contains the formula itself");
        else if (part->lines && part->levels >= NESTING_MAX)
            line_fault(m, n, "/formula", "preferments nest more than 8 levels deep");
        if (part->levels >= m->made->levels) m->made->levels = part->levels + 1;
        if (part->minutes > m->made->minutes) m->made->minutes = part->minutes;
    }
}

/* Whether everything that the lines name has been worked out. */
static bool lines_are_known(const struct making *m)
{
    for (size_t n = 0; n < m->formula->line_count; n++) {
        const struct line *line = &m->formula->lines[n];
        if (line->index == NOT_FOUND) return false;
        if (line->kind == LINE_STARTER && !m->work->out->starters[line->index]) return false;
        if (line->kind == LINE_FORMULA && !m->work->out->items[line->index].lines) return false;
    }
    return true;
}

/* --- working out --- */

/* What a line's starter or part is made of, per ingredient. */
static const fixed *composition_of(const struct making *m, const struct line *line)
{
    return line->kind == LINE_STARTER ? m->work->out->starters[line->index]
                                      : m->work->out->items[line->index].ingredients;
}

/* Flour by weight in a line's starter or part. */
static fixed flour_of(const struct making *m, const struct line *line)
{
    if (line->kind == LINE_FORMULA) return m->work->out->items[line->index].flour;
    const struct starter *starter = &m->work->catalogue->starters[line->index];
    return share_of(PERCENT_WHOLE, (fixed)PERCENT_WHOLE + starter->hydration_pct);
}

/* Basis final: every line is its percentage over the sum of all. */
static void make_final(struct making *m)
{
    struct breakdown *made = m->made;
    for (size_t n = 0; n < m->formula->line_count; n++) {
        const struct line *line = &m->formula->lines[n];
        fixed share = made->lines[n] = scaled(m, SHARE_ONE, line->pct, m->total);
        if (line->kind == LINE_INGREDIENT) {
            add(m, &made->ingredients[line->index], share);
            if (is_flour(m, line)) add(m, &made->final_flour, share);
            continue;
        }
        const fixed *composition = composition_of(m, line);
        for (size_t i = 0; i < m->work->catalogue->ingredient_count; i++)
            if (composition[i] != 0)
                add(m, &made->ingredients[i], scaled(m, share, composition[i], SHARE_ONE));
        add(m, &made->flour, scaled(m, share, flour_of(m, line), SHARE_ONE));
    }
    add(m, &made->flour, made->final_flour);
    made->final_base = scaled(m, SHARE_ONE, PERCENT_WHOLE, m->total);
    made->base = made->flour != 0 ? made->flour : made->final_base;
}

/* Basis total, the ingredient lines: they alone tell the composition. */
static void place_ingredient_lines(struct making *m)
{
    struct breakdown *made = m->made;
    for (size_t i = 0; i < m->work->catalogue->ingredient_count; i++) {
        m->work->held[i] = 0;
        m->work->last_line[i] = NOT_FOUND;
    }
    for (size_t n = 0; n < m->formula->line_count; n++) {
        const struct line *line = &m->formula->lines[n];
        if (line->kind != LINE_INGREDIENT) continue;
        made->lines[n] = scaled(m, SHARE_ONE, line->pct, m->total);
        add(m, &made->ingredients[line->index], made->lines[n]);
        m->work->last_line[line->index] = n;
    }
    made->flour = made->base = scaled(m, SHARE_ONE, PERCENT_WHOLE, m->total);
}

/* Basis total, the weight of a part: told by its own percentage, or by the flour wanted in it. */
static fixed part_weight(struct making *m, size_t n)
{
    const struct line *line = &m->formula->lines[n];
    fixed weight = scaled(m, SHARE_ONE, line->pct, m->total);
    m->slack += SLACK_UNITS;
    if (!line->flour_share) return weight;
    fixed flour = flour_of(m, line);
    if (flour == 0) {
        line_fault(m, n, "/flour_pct", "this part holds no flour");
        return 0;
    }
    m->slack += SLACK_UNITS * (SHARE_ONE / flour);
    return scaled(m, weight, SHARE_ONE, flour);
}

/* Basis total, a part: notes what it holds. */
static void place_part(struct making *m, size_t n)
{
    const struct line *line = &m->formula->lines[n];
    const fixed *composition = composition_of(m, line);
    fixed weight = m->made->lines[n] = part_weight(m, n);
    for (size_t i = 0; i < m->work->catalogue->ingredient_count; i++) {
        if (composition[i] == 0) continue;
        add(m, &m->work->held[i], scaled(m, weight, composition[i], SHARE_ONE));
        if (m->work->last_line[i] != NOT_FOUND) continue;
        char text[256];
        snprintf(text, sizeof text, "%s holds %s, which has no line of its own here", line->code,
                 m->work->catalogue->ingredients[i].code);
        line_fault(m, n, "", text);
    }
}

static void short_line(struct making *m, size_t n, fixed missing)
{
    char path[POINTER_MAX];
    char percent[DECIMAL_TEXT_SIZE];
    int64_t pct;
    snprintf(path, sizeof path, "/lines/%zu", n);
    if (!breakdown_percentage(missing, m->made->base, &pct)) pct = INT64_MAX;
    decimal_print(percent, pct > 0 ? pct : 1, PERCENT_PLACES, 0);
    catalogue_fault_add(m->work->faults, FAULT_FORMULA, m->index, path,
                        "starters and parts hold %s %% more of %s than this line gives", percent,
                        m->formula->lines[n].code);
}

/* Basis total: what the parts hold of an ingredient is taken out of its lines in turn. */
static void take_out(struct making *m, size_t n)
{
    size_t ingredient = m->formula->lines[n].index;
    fixed *line = &m->made->lines[n];
    fixed taken = m->work->held[ingredient];
    if (taken > *line && m->work->last_line[ingredient] != n) taken = *line;
    m->work->held[ingredient] -= taken;
    *line -= taken;
    if (*line >= -m->slack && *line <= m->slack)
        *line = 0;
    else if (*line < 0)
        short_line(m, n, -*line);
    if (is_flour(m, &m->formula->lines[n])) add(m, &m->made->final_flour, *line);
}

static void make_total(struct making *m)
{
    place_ingredient_lines(m);
    for (size_t n = 0; n < m->formula->line_count; n++)
        if (m->formula->lines[n].kind != LINE_INGREDIENT) place_part(m, n);
    if (!m->too_large)
        for (size_t n = 0; n < m->formula->line_count; n++)
            if (m->formula->lines[n].kind == LINE_INGREDIENT) take_out(m, n);
    m->made->final_base = m->made->final_flour != 0 ? m->made->final_flour : m->made->base;
}

int64_t formula_minutes(const struct formula *formula)
{
    int64_t minutes = 0;
    for (size_t i = 0; i < formula->stage_count; i++) {
        if (formula->stages[i].minutes > CHAIN_MINUTES_MAX - minutes) return CHAIN_MINUTES_MAX;
        minutes += formula->stages[i].minutes;
    }
    return minutes;
}

/* The formula's own minutes on top of its longest part's. */
static void add_minutes(struct making *m)
{
    int64_t own = formula_minutes(m->formula);
    if (own == CHAIN_MINUTES_MAX) fault(m, "/stages", "the stages take longer than a century");
    m->made->minutes = own > CHAIN_MINUTES_MAX - m->made->minutes ? CHAIN_MINUTES_MAX
                                                                  : own + m->made->minutes;
}

/* False when memory is short. */
static bool make_formula(struct work *work, size_t index)
{
    struct making m = {.work = work,
                       .index = index,
                       .formula = &work->catalogue->formulas[index],
                       .made = &work->out->items[index]};
    size_t before = work->faults->count;
    m.known = lines_are_known(&m);
    check_line_kinds(&m);
    check_sums(&m);
    check_nesting(&m);
    add_minutes(&m);
    if (!m.known || work->faults->count != before) return !work->faults->failed;

    m.made->lines = arena_array(work->arena, m.formula->line_count, sizeof(fixed));
    m.made->ingredients = arena_array(work->arena, work->catalogue->ingredient_count,
                                      sizeof(fixed));
    if (!m.made->lines || !m.made->ingredients) return false;
    if (m.formula->basis == BASIS_FINAL)
        make_final(&m);
    else
        make_total(&m);
    if (m.too_large) fault(&m, "/lines", "the percentages are too large");
    if (work->faults->count != before) m.made->lines = NULL;
    return !work->faults->failed;
}

/* --- all of them --- */

static bool work_init(struct work *work)
{
    const struct catalogue *catalogue = work->catalogue;
    struct breakdowns *out = work->out;
    out->catalogue = catalogue;
    out->items = arena_array(work->arena, catalogue->formula_count, sizeof *out->items);
    out->starters = arena_array(work->arena, catalogue->starter_count, sizeof *out->starters);
    work->held = arena_array(work->arena, catalogue->ingredient_count, sizeof *work->held);
    work->last_line = arena_array(work->arena, catalogue->ingredient_count,
                                  sizeof *work->last_line);
    if (!out->items || !out->starters || !work->held || !work->last_line) return false;
    if (!formula_order_of(work->arena, catalogue, &work->order)) return false;
    out->order = work->order.formulas;
    return true;
}

static bool work_all(struct work *work)
{
    if (!work_init(work)) return false;
    for (size_t i = 0; i < work->catalogue->starter_count; i++)
        if (!make_starter(work, i)) return false;
    for (size_t i = 0; i < work->catalogue->formula_count; i++)
        if (!make_formula(work, work->order.formulas[i])) return false;
    return true;
}

bool breakdown_all(struct arena *arena, const struct catalogue *catalogue,
                   struct catalogue_faults *faults, struct breakdowns *out)
{
    size_t before = faults->count;
    struct work work = {.arena = arena, .catalogue = catalogue, .faults = faults, .out = out};
    if (!work_all(&work)) faults->failed = true;
    return !faults->failed && faults->count == before;
}
