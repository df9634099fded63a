/* /days/{date}/timetable, /days/{date}/moves and /working-days/{date}/run-sheet. */
#include "bakery/timetable.h"
#include "api/handlers.h"
#include "api/limits.h"
#include "api/resource.h"
#include "api/timetable_body.h"
#include "base/arena.h"
#include "store/bakery.h"
#include "store/moves.h"

#include <string.h>

enum { TASK_ID_MAX = 160 };

/* What the orders and moves of some bread days come to. */
struct reckoned {
    struct day day;
    struct timetable_move *moves;
    size_t move_count;
    struct timetable timetable;
};

static bool load(struct request *request, struct reckoned *out, date first, date last)
{
    return day_load_demands(request, &out->day, first, last) &&
           moves_select(request->tx, first, last, &out->moves, &out->move_count);
}

static bool reckon_day(struct request *request, date bread_day, struct reckoned *out)
{
    date first, last;
    if (!day_open(request, &out->day)) return false;
    timetable_horizon(&out->day.reckoning, bread_day, &first, &last);
    return load(request, out, first, last) &&
           timetable_of(&out->day.reckoning, bread_day, out->day.demands, out->day.demand_count,
                        out->moves, out->move_count, &out->timetable);
}

static size_t moves_of_day(const struct reckoned *reckoned, date bread_day)
{
    size_t count = 0;
    for (size_t i = 0; i < reckoned->move_count; i++)
        count += reckoned->moves[i].bread_day == bread_day;
    return count;
}

static bool answer_timetable(struct request *request, date bread_day,
                             const struct reckoned *reckoned)
{
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_date(json, "date", bread_day);
    timetable_write(json, &reckoned->day, &reckoned->timetable);
    json_put_whole(json, "moves", (int64_t)moves_of_day(reckoned, bread_day));
    json_close(json);
    reply_etag(request);
    return true;
}

bool get_timetable(struct request *request)
{
    date bread_day;
    struct reckoned reckoned;
    return request_date(request, "date", &bread_day) && reckon_day(request, bread_day, &reckoned) &&
           answer_timetable(request, bread_day, &reckoned);
}

bool get_run_sheet(struct request *request)
{
    date working_date, first, last;
    struct reckoned out;
    if (!request_date(request, "date", &working_date) || !day_open(request, &out.day)) return false;
    const struct reckoning *reckoning = &out.day.reckoning;
    run_sheet_horizon(reckoning, working_date, &first, &last);
    if (!load(request, &out, first, last) ||
        !run_sheet_of(reckoning, working_date, out.day.demands, out.day.demand_count, out.moves,
                      out.move_count, &out.timetable))
        return false;
    struct json_writer *json = reply_json(request, 200);
    json_open_object(json, NULL);
    json_put_date(json, "date", working_date);
    json_put_instant(json, "from", day_begins(reckoning, working_date), reckoning->zone);
    json_put_instant(json, "to", day_begins(reckoning, working_date + 1), reckoning->zone);
    timetable_write(json, &out.day, &out.timetable);
    json_close(json);
    reply_etag(request);
    return true;
}

/* --- moves --- */

static bool answer_moves(struct request *request, int status, date bread_day,
                         const struct timetable_move *moves, size_t count, int64_t revision,
                         const struct zone *zone)
{
    struct json_writer *json = reply_json(request, status);
    json_open_object(json, NULL);
    json_put_date(json, "date", bread_day);
    json_open_list(json, "moves");
    for (size_t i = 0; i < count; i++) {
        json_open_object(json, NULL);
        json_put_text(json, "task", moves[i].task);
        json_put_instant(json, "begins_at", moves[i].begins, zone);
        json_close(json);
    }
    json_close(json);
    json_close(json);
    if (revision > 0)
        reply_revision(request, revision);
    else
        reply_etag(request);
    return true;
}

bool get_moves(struct request *request)
{
    date bread_day;
    struct day day;
    struct timetable_move *moves;
    size_t count;
    int64_t revision;
    return request_date(request, "date", &bread_day) && day_open(request, &day) &&
           moves_select(request->tx, bread_day, bread_day, &moves, &count) &&
           moves_revision(request->tx, bread_day, &revision) &&
           answer_moves(request, 200, bread_day, moves, count, revision, day.reckoning.zone);
}

static bool is_task(const struct timetable *timetable, const char *id)
{
    for (size_t i = 0; i < timetable->task_count; i++)
        if (strcmp(timetable->tasks[i].id, id) == 0) return true;
    return false;
}

static void read_move(const struct json_node *item, const struct timetable *timetable,
                      struct timetable_move *moves, size_t index)
{
    struct timetable_move *move = &moves[index];
    struct json_object in;
    json_object_open(&in, *item);
    move->task = json_text(&in, "task", JSON_REQUIRED, TASK_ID_MAX);
    json_instant(&in, "begins_at", JSON_REQUIRED, &move->begins);
    if (move->task != NULL && !is_task(timetable, move->task))
        json_fault(&in, "task", "is not a task of this day");
    for (size_t i = 0; move->task != NULL && i < index; i++)
        if (moves[i].task != NULL && strcmp(moves[i].task, move->task) == 0)
            json_fault(&in, "task", "is moved twice");
    json_object_close(&in);
}

static bool read_moves(struct request *request, date bread_day, const struct timetable *timetable,
                       struct timetable_move **moves, size_t *count)
{
    struct json_node root, item;
    struct json_object body;
    struct json_list list;
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    json_list_member(&body, "moves", JSON_REQUIRED, 0, MOVES_MAX, &list);
    *moves = arena_array(request->arena, list.length, sizeof **moves);
    *count = 0;
    while (*moves != NULL && json_list_next(&list, &item)) {
        (*moves)[*count].bread_day = bread_day;
        read_move(&item, timetable, *moves, *count);
        ++*count;
    }
    return json_object_close(&body);
}

/* The moves of the other days stay; those of the bread day are the body's. */
static bool replace_moves(struct request *request, date bread_day, struct reckoned *reckoned,
                          const struct timetable_move *moves, size_t count)
{
    size_t kept = 0;
    struct timetable_move *all = arena_array(request->arena, reckoned->move_count + count,
                                             sizeof *all);
    if (all == NULL) return fail_memory(&request->fails);
    for (size_t i = 0; i < reckoned->move_count; i++)
        if (reckoned->moves[i].bread_day != bread_day) all[kept++] = reckoned->moves[i];
    for (size_t i = 0; i < count; i++)
        all[kept++] = moves[i];
    reckoned->moves = all;
    reckoned->move_count = kept;
    return timetable_of(&reckoned->day.reckoning, bread_day, reckoned->day.demands,
                        reckoned->day.demand_count, all, kept, &reckoned->timetable);
}

/* What the timetable would be with these moves; stores nothing. */
bool try_timetable(struct request *request)
{
    date bread_day;
    struct reckoned reckoned;
    struct timetable_move *moves;
    size_t count;
    return request_date(request, "date", &bread_day) && reckon_day(request, bread_day, &reckoned) &&
           read_moves(request, bread_day, &reckoned.timetable, &moves, &count) &&
           replace_moves(request, bread_day, &reckoned, moves, count) &&
           answer_timetable(request, bread_day, &reckoned);
}

bool put_moves(struct request *request)
{
    date bread_day;
    struct reckoned reckoned;
    struct timetable_move *moves;
    size_t count;
    int64_t revision;
    if (!request_date(request, "date", &bread_day) || !bakery_lock(request->tx) ||
        !moves_revision(request->tx, bread_day, &revision) ||
        !precondition_holds(request, revision > 0, revision) ||
        !reckon_day(request, bread_day, &reckoned) ||
        !read_moves(request, bread_day, &reckoned.timetable, &moves, &count))
        return false;
    int status = revision > 0 ? 200 : 201;
    /* Told in the order in which GET tells them. */
    return moves_put(request->tx, bread_day, moves, count, &revision) &&
           moves_select(request->tx, bread_day, bread_day, &moves, &count) &&
           answer_moves(request, status, bread_day, moves, count, revision,
                        reckoned.day.reckoning.zone);
}
