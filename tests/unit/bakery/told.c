/* A flow that is told line by line. */
#include "told.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

struct told *told_new(void)
{
    struct told *told = calloc(1, sizeof *told);
    cr_assert_not_null(told);
    told->w = world_new();
    starter(told->w, "levain", "100", "wheat 100");
    formula(told->w, "poolish", BASIS_FINAL, "wheat 100, water 100, starter levain 10");
    formula(told->w, "sponge", BASIS_FINAL, "rye 100, water 80, formula poolish 20");
    formula(told->w, "country", BASIS_FINAL, "wheat 100, water 60, salt 2, formula sponge 30");
    product(told->w, "loaf", "country 900, seeds 10");
    open_world(told->w);
    told->flow = (struct flow){.batches = told->batches,
                               .lines = told->lines,
                               .moves = told->moves,
                               .pools = told->pools,
                               .takings = told->takings};
    return told;
}

void told_free(struct told *told)
{
    world_free(told->w);
    free(told);
}

int64_t told_mixed(struct told *told, const char *code, const char *day, int64_t grams)
{
    struct flow_batch *batch = &told->batches[told->flow.batch_count++];
    int64_t number = 1;
    for (size_t i = 0; i + 1 < told->flow.batch_count; i++)
        number += strcmp(told->batches[i].formula, code) == 0 &&
                  told->batches[i].mixing_date == day_of(day);
    *batch = (struct flow_batch){.posting = (int64_t)told->flow.batch_count,
                                 .mixing_date = day_of(day),
                                 .formula = code,
                                 .batch = number,
                                 .dough_mg = grams * 1000};
    return batch->posting;
}

struct flow_line *told_weighed(struct told *told, enum line_kind kind, const char *code,
                               int64_t grams)
{
    struct flow_line *line = &told->lines[told->flow.line_count++];
    *line = (struct flow_line){
        .posting = (int64_t)told->flow.batch_count, .kind = kind, .code = code, .mg = grams * 1000};
    return line;
}

void told_lot(struct told *told, const char *code, int64_t lot, int64_t grams)
{
    told_weighed(told, LINE_INGREDIENT, code, grams);
    told->moves[told->flow.move_count++] = (struct flow_move){(int64_t)told->flow.batch_count, lot,
                                                              grams * 1000};
}

void told_part(struct told *told, const char *code, const char *day, int64_t grams)
{
    struct flow_line *line = told_weighed(told, LINE_FORMULA, code, grams);
    line->has_part_date = true;
    line->part_date = day_of(day);
}

void told_levain(struct told *told, int64_t entry, int64_t grams, int64_t lot, fixed carried)
{
    told_weighed(told, LINE_STARTER, "levain", grams)->log_entry = entry;
    size_t n = told->flow.taking_count++;
    told->taken[n] = (struct pot_lot){lot, carried};
    told->takings[n] = (struct flow_taking){
        "levain", {.entry = entry, .mg = grams * 1000, .lots = &told->taken[n], .lot_count = 1}};
}

static int by_pool(const void *a, const void *b)
{
    const struct flow_pool *left = a, *right = b;
    int order = strcmp(left->part, right->part);
    return order != 0 ? order : left->mixing_date - right->mixing_date;
}

void told_pools(struct told *told)
{
    for (size_t i = 0; i < told->flow.line_count; i++) {
        const struct flow_line *line = &told->lines[i];
        struct flow_pool pool = {.part = line->code, .mixing_date = line->part_date};
        size_t k = 0;
        if (line->kind != LINE_FORMULA || !line->has_part_date) continue;
        while (k < told->flow.pool_count && by_pool(&told->pools[k], &pool) != 0)
            k++;
        if (k == told->flow.pool_count) {
            for (size_t b = 0; b < told->flow.batch_count; b++)
                if (strcmp(told->batches[b].formula, line->code) == 0 &&
                    told->batches[b].mixing_date == line->part_date)
                    pool.posted_mg += told->batches[b].dough_mg;
            told->pools[told->flow.pool_count++] = pool;
        }
        told->pools[k].taken_mg += line->mg;
    }
    qsort(told->pools, told->flow.pool_count, sizeof *told->pools, by_pool);
}

void told_flows(struct told *told)
{
    told_pools(told);
    cr_assert(flow_of(&told->w->reckoning, &told->flow, &told->parts));
}

fixed told_grams(const struct told *told, int64_t posting, int64_t lot)
{
    return flow_grams(told->parts[posting - 1], lot);
}

void told_three_levels(struct told *told)
{
    told_mixed(told, "poolish", "2027-03-01", 1050);
    told_lot(told, "wheat", 1, 500);
    told_weighed(told, LINE_INGREDIENT, "water", 500);
    told_levain(told, 7, 50, 2, 20 * FIXED_ONE);
    told_mixed(told, "poolish", "2027-03-01", 1050);
    told_lot(told, "wheat", 3, 500);
    told_mixed(told, "sponge", "2027-03-02", 2010);
    told_lot(told, "rye", 4, 1000);
    told_part(told, "poolish", "2027-03-01", 210);
    told_mixed(told, "country", "2027-03-02", 2002);
    told_lot(told, "wheat", 1, 1000);
    told_weighed(told, LINE_INGREDIENT, "salt", 20);
    told_part(told, "sponge", "2027-03-02", 402);
    told_flows(told);
}
