/* Timetables on the wire. */
#include "api/timetable_body.h"

#include "base/decimal.h"

static const char *const task_kinds[] = {[TASK_MIX] = "mix",
                                         [TASK_STAGE] = "stage",
                                         [TASK_PREHEAT] = "preheat",
                                         [TASK_LOAD] = "load",
                                         [TASK_COOL] = "cool"};

/* What no longer holds: its word and its sentence. */
static const struct {
    const char *word;
    const char *text;
} breaks[] = {
    [BREAK_ORDER] = {"order", "begins before what it waits for has ended"},
    [BREAK_MIXER] = {"mixer", "is in the mixer together with another batch"},
    [BREAK_DECK] = {"deck", "is in the deck together with another load, or before it is hot again"},
    [BREAK_COLD] = {"cold", "does not fit into the cold"},
    [BREAK_LATE] = {"late", "is not ready in time"},
    [BREAK_WAITS] = {"waits", "has to wait longer than it may"},
    [BREAK_GONE] = {"gone", "is moved, but no longer part of the day"},
};

void bake_steps_write(struct json_writer *json, const struct bake *bake)
{
    json_open_list(json, "steps");
    for (size_t i = 0; bake != NULL && i < bake->step_count; i++) {
        json_open_object(json, NULL);
        json_put_decimal(json, "c", bake->steps[i].c, TEMPERATURE_PLACES);
        json_put_whole(json, "minutes", bake->steps[i].minutes);
        json_put_bool(json, "steam", bake->steps[i].steam);
        json_close(json);
    }
    json_close(json);
}

static void write_dough(struct json_writer *json, const struct catalogue *catalogue,
                        const struct task *task)
{
    bool dough = task->formula != NOT_FOUND;
    json_put_text(json, "stage", task->stage != NULL ? task->stage->name : NULL);
    json_put_text(json, "formula", dough ? catalogue->formulas[task->formula].code : NULL);
    json_put_text(json, "name", dough ? catalogue->formulas[task->formula].name : NULL);
    json_open_list(json, "for");
    for (size_t i = 0; i < task->bread_day_count; i++)
        json_put_date(json, NULL, task->bread_days[i]);
    json_close(json);
    json_put_date_or_null(json, "mixing_date", task->mixing_date, dough);
    json_put_whole(json, "batch", task->batch);
    json_put_whole(json, "batches", task->batches);
    json_put_decimal(json, "dough_g", task->dough_mg, WEIGHT_PLACES);
}

static void write_time(struct json_writer *json, const struct zone *zone, const struct task *task)
{
    json_put_instant(json, "begins_at", task->begins, zone);
    json_put_instant(json, "ends_at", task->ends, zone);
    json_put_whole(json, "minutes", (task->ends - task->begins) / 60);
    json_put_whole(json, "waits_minutes", task->waits_minutes);
    json_put_whole(json, "hands", task->hands);
    json_put_text(json, "at", task->stage != NULL ? task->stage->at : NULL);
    json_put_instant_or_null(json, "ready_at", task->ready, zone, task->ready != 0);
}

/* The cold space has no name of its own: this alone tells it. */
static const char *used_by(const struct task *task)
{
    if (task->mixer != NULL) return "mixer";
    if (task->oven != NULL) return "oven";
    return task->stage != NULL && task->stage->uses == USES_COLD ? "cold" : NULL;
}

static void write_place(struct json_writer *json, const struct task *task)
{
    json_put_text(json, "uses", used_by(task));
    json_put_text(json, "mixer", task->mixer != NULL ? task->mixer->code : NULL);
    json_put_text(json, "oven", task->oven != NULL ? task->oven->code : NULL);
    json_put_whole_or_null(json, "deck", task->deck, task->oven != NULL);
}

static void write_items(struct json_writer *json, const struct catalogue *catalogue,
                        const struct task *task)
{
    json_open_list(json, "items");
    for (size_t i = 0; i < task->item_count; i++) {
        const struct product *product = &catalogue->products[task->items[i].product];
        json_open_object(json, NULL);
        json_put_text(json, "product", product->code);
        json_put_text(json, "name", product->name);
        json_put_whole(json, "pieces", task->items[i].pieces);
        json_close(json);
    }
    json_close(json);
    bake_steps_write(json, task->bake);
}

static void write_task(struct json_writer *json, const struct day *day,
                       const struct timetable *timetable, const struct task *task)
{
    json_open_object(json, NULL);
    json_put_text(json, "id", task->id);
    json_put_text(json, "kind", task_kinds[task->kind]);
    write_dough(json, &day->catalogue, task);
    write_time(json, day->reckoning.zone, task);
    write_place(json, task);
    write_items(json, &day->catalogue, task);
    json_open_list(json, "after");
    for (size_t i = 0; i < task->after_count; i++)
        json_put_text(json, NULL, timetable->tasks[task->after[i]].id);
    json_close(json);
    json_put_bool(json, "moved", task->moved);
    json_close(json);
}

static void write_hands(struct json_writer *json, const struct zone *zone,
                        const struct timetable *timetable)
{
    json_open_list(json, "hands");
    for (size_t i = 0; i < timetable->hands_count; i++) {
        const struct hands_short *lack = &timetable->hands[i];
        json_open_object(json, NULL);
        json_put_instant(json, "from", lack->from, zone);
        json_put_instant(json, "to", lack->to, zone);
        json_put_whole(json, "needed", lack->needed);
        json_put_whole(json, "there", lack->there);
        json_close(json);
    }
    json_close(json);
}

static void write_breaks(struct json_writer *json, const struct timetable *timetable)
{
    json_open_list(json, "breaks");
    for (size_t i = 0; i < timetable->break_count; i++) {
        const struct timetable_break *broken = &timetable->breaks[i];
        json_open_object(json, NULL);
        json_put_text(json, "kind", breaks[broken->kind].word);
        json_put_text(json, "task", broken->id);
        json_put_text(json, "other",
                      broken->other != NOT_FOUND ? timetable->tasks[broken->other].id : NULL);
        json_put_whole(json, "minutes", broken->minutes);
        json_put_text(json, "text", breaks[broken->kind].text);
        json_close(json);
    }
    json_close(json);
}

void timetable_write(struct json_writer *json, const struct day *day,
                     const struct timetable *timetable)
{
    const struct zone *zone = day->reckoning.zone;
    if (timetable->task_count > 0) {
        json_put_instant(json, "begins_at", timetable->begins, zone);
        json_put_instant(json, "ends_at", timetable->ends, zone);
    } else {
        json_put_null(json, "begins_at");
        json_put_null(json, "ends_at");
    }
    json_put_whole(json, "minutes", timetable->minutes);
    json_put_whole(json, "at_least_minutes", timetable->at_least_minutes);
    json_open_list(json, "tasks");
    for (size_t i = 0; i < timetable->task_count; i++)
        write_task(json, day, timetable, &timetable->tasks[i]);
    json_close(json);
    write_hands(json, zone, timetable);
    write_breaks(json, timetable);
}
