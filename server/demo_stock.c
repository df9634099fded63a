/* The flour store of the demo bakery. */
#include "demo_stock.h"

#include "base/arena.h"
#include "base/fail.h"
#include "base/text.h"
#include "http/request.h"
#include "json/writer.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

enum {
    BODY_CAP = 64 * 1024,
    ITEMS_MAX = 1000,
    DAYS_MOST = 365,
    AMOUNT_MOST = 10000000,
    BATCHES_MAX = 2000
};

void demo_weekdays_read(const char *days, bool weekdays[8])
{
    for (; days != NULL && *days != '\0'; days++)
        if (*days >= '1' && *days <= '7') weekdays[*days - '0'] = true;
}

/* (FNV-1a, for its spread alone.) */
int64_t demo_vary(const char *one, const char *other, date day, int64_t amount)
{
    const char *words[] = {one, other};
    uint32_t hash = 2166136261U ^ (uint32_t)day;
    for (size_t w = 0; w < 2; w++)
        for (const char *c = words[w]; *c != '\0'; c++)
            hash = (hash ^ (unsigned char)*c) * 16777619U;
    int64_t tenths = (int64_t)(hash % 21) - 10;
    return amount + amount * tenths / 100;
}

/* --- reading --- */

static void read_days(struct json_object *in, bool weekdays[8], int64_t *from, int64_t *to)
{
    demo_weekdays_read(json_text(in, "weekdays", JSON_REQUIRED, 7), weekdays);
    *from = json_whole(in, "from", JSON_REQUIRED, 0, DAYS_MOST, 0);
    *to = json_whole(in, "to", JSON_REQUIRED, 0, DAYS_MOST, 0);
}

static int64_t read_amount(struct json_object *in, const char **member)
{
    *member = json_has(in, "g") ? "g" : "pieces";
    return json_whole(in, *member, JSON_REQUIRED, 1, AMOUNT_MOST, 1);
}

static void read_goods(struct json_object *in, struct demo_delivery *delivery)
{
    struct json_list list;
    struct json_node item;
    json_list_member(in, "lines", JSON_REQUIRED, 1, ITEMS_MAX, &list);
    delivery->goods = arena_array(in->node.arena, list.length, sizeof *delivery->goods);
    while (delivery->goods != NULL && json_list_next(&list, &item)) {
        struct demo_goods *goods = &delivery->goods[delivery->count++];
        struct json_object line;
        json_object_open(&line, item);
        goods->ingredient = json_code(&line, "ingredient", JSON_REQUIRED);
        goods->amount = read_amount(&line, &goods->member);
        goods->keeps_days = json_whole(&line, "keeps_days", JSON_OPTIONAL, 1, DAYS_MOST, 0);
        json_object_close(&line);
    }
}

static void read_deliveries(struct json_object *in, struct demo_stock *stock)
{
    struct json_list list;
    struct json_node item;
    json_list_member(in, "deliveries", JSON_REQUIRED, 0, ITEMS_MAX, &list);
    stock->deliveries = arena_array(in->node.arena, list.length, sizeof *stock->deliveries);
    while (stock->deliveries != NULL && json_list_next(&list, &item)) {
        struct demo_delivery *delivery = &stock->deliveries[stock->delivery_count++];
        struct json_object one;
        json_object_open(&one, item);
        delivery->supplier = json_code(&one, "supplier", JSON_REQUIRED);
        delivery->mark = json_name(&one, "mark", JSON_REQUIRED);
        read_days(&one, delivery->weekdays, &delivery->from, &delivery->to);
        read_goods(&one, delivery);
        json_object_close(&one);
    }
}

static void read_uses(struct json_object *in, struct demo_stock *stock)
{
    struct json_list list;
    struct json_node item;
    json_list_member(in, "uses", JSON_REQUIRED, 0, ITEMS_MAX, &list);
    stock->uses = arena_array(in->node.arena, list.length, sizeof *stock->uses);
    while (stock->uses != NULL && json_list_next(&list, &item)) {
        struct demo_use *use = &stock->uses[stock->use_count++];
        struct json_object one;
        json_object_open(&one, item);
        use->ingredient = json_code(&one, "ingredient", JSON_REQUIRED);
        read_days(&one, use->weekdays, &use->from, &use->to);
        use->amount = read_amount(&one, &use->member);
        json_object_close(&one);
    }
}

bool demo_stock_read(struct json_object *file, struct demo_stock *stock)
{
    struct json_object in;
    if (!json_object_member(file, "store", JSON_REQUIRED, &in)) return true;
    read_deliveries(&in, stock);
    read_uses(&in, stock);
    stock->nights = json_whole(&in, "nights", JSON_REQUIRED, 0, DAYS_MOST, 0);
    json_object_close(&in);
    return !arena_failed(file->node.arena);
}

/* --- sending --- */

static bool post(struct local *local, struct arena *arena, const char *path, const char *body,
                 const char *key)
{
    struct local_call call = {"POST", path, body, key};
    return path != NULL && body != NULL && key != NULL && local_demand(local, arena, &call) != NULL;
}

static void write_goods(struct json_writer *out, const struct demo_delivery *delivery, size_t n,
                        date day, const char *mark)
{
    const struct demo_goods *goods = &delivery->goods[n];
    json_open_object(out, NULL);
    json_put_text(out, "ingredient", goods->ingredient);
    json_put_whole(out, goods->member, goods->amount);
    json_put_text(out, "lot_mark", mark);
    if (goods->keeps_days > 0) json_put_date(out, "best_before", day + (date)goods->keeps_days);
    json_close(out);
}

static const char *delivery_body(struct arena *arena, const struct demo_delivery *delivery,
                                 date day)
{
    struct text text;
    struct json_writer out;
    text_init(&text, arena, BODY_CAP);
    json_writer_init(&out, &text);
    json_open_object(&out, NULL);
    json_put_text(&out, "supplier", delivery->supplier);
    json_put_date(&out, "date", day);
    json_put_text(&out, "delivery_note", arena_printf(arena, "%s/%d", delivery->mark, (int)day));
    json_open_list(&out, "lines");
    for (size_t n = 0; n < delivery->count; n++)
        write_goods(&out, delivery, n, day,
                    arena_printf(arena, "%s%d-%zu", delivery->mark, (int)day, n + 1));
    json_close(&out);
    json_close(&out);
    return text_ok(&text) ? text.data : NULL;
}

static bool send_delivery(struct local *local, const struct demo_delivery *delivery, date day)
{
    struct arena *arena = arena_new(0);
    if (arena == NULL) return false;
    bool sent = post(local, arena, "/api/v1/goods-in", delivery_body(arena, delivery, day),
                     arena_printf(arena, "demo-goods-%s-%d", delivery->mark, (int)day));
    arena_free(arena);
    return sent;
}

static const char *use_body(struct arena *arena, const struct demo_use *use, date day)
{
    struct text text;
    struct json_writer out;
    text_init(&text, arena, BODY_CAP);
    json_writer_init(&out, &text);
    json_open_object(&out, NULL);
    json_put_text(&out, "kind", "used");
    json_put_text(&out, "ingredient", use->ingredient);
    json_put_whole(&out, use->member, demo_vary(use->ingredient, "use", day, use->amount));
    json_put_date(&out, "date", day);
    json_put_text(&out, "reason", "from the notebook");
    json_close(&out);
    return text_ok(&text) ? text.data : NULL;
}

static bool send_use(struct local *local, const struct demo_use *use, size_t number, date day)
{
    struct arena *arena = arena_new(0);
    if (arena == NULL) return false;
    bool sent = post(local, arena, "/api/v1/movements", use_body(arena, use, day),
                     arena_printf(arena, "demo-use-%zu-%d", number, (int)day));
    arena_free(arena);
    return sent;
}

/* --- the batches of the last nights --- */

static bool add_batches(struct demo_batches *batches, const char *path, struct json_object *mix)
{
    const char *formula = json_code(mix, "formula", JSON_REQUIRED);
    const char *at = json_text(mix, "begins_at", JSON_REQUIRED, INSTANT_TEXT_SIZE);
    int64_t count = json_whole(mix, "batches", JSON_REQUIRED, 1, ITEMS_MAX, 1);
    instant begins;
    if (formula == NULL || at == NULL || !instant_parse(at, &begins)) return false;
    for (int64_t number = 1; number <= count && batches->count < BATCHES_MAX; number++)
        batches->items[batches->count++] = (struct demo_batch){path, formula, at, number, begins};
    return true;
}

static bool read_mixes(struct demo_batches *batches, struct json_node list, const char *path)
{
    struct json_object in;
    struct json_list mixes;
    struct json_node item;
    json_object_open(&in, list);
    json_list_member(&in, "mixes", JSON_REQUIRED, 0, ITEMS_MAX, &mixes);
    while (json_list_next(&mixes, &item)) {
        struct json_object mix;
        json_object_open(&mix, item);
        if (!add_batches(batches, path, &mix)) return false;
    }
    return true;
}

static bool read_night(struct local *local, struct arena *arena, date day,
                       struct demo_batches *batches)
{
    char text[DATE_TEXT_SIZE];
    struct json_node list;
    date_print(text, day);
    struct local_call call = {"GET", arena_printf(arena, "/api/v1/mixing-lists/%s", text), NULL,
                              NULL};
    const char *path = arena_printf(arena, "/api/v1/mixing-lists/%s/batches", text);
    if (call.path == NULL || path == NULL) return false;
    struct request *answer = local_demand(local, arena, &call);
    return answer != NULL && local_answer(answer, &list) && read_mixes(batches, list, path);
}

static int by_time(const void *left, const void *right)
{
    const struct demo_batch *a = left, *b = right;
    return (a->at > b->at) - (a->at < b->at);
}

bool demo_batches_read(struct local *local, struct arena *arena, const struct demo_stock *stock,
                       date today, struct demo_batches *batches)
{
    *batches = (struct demo_batches){.local = local};
    batches->items = arena_array(arena, BATCHES_MAX, sizeof *batches->items);
    if (batches->items == NULL) return false;
    for (date day = today - (date)stock->nights; day <= today; day++)
        if (!read_night(local, arena, day, batches)) return false;
    qsort(batches->items, batches->count, sizeof *batches->items, by_time);
    return true;
}

static bool send_batch(struct local *local, const struct demo_batch *batch)
{
    struct arena *arena = arena_new(0);
    if (arena == NULL) return false;
    const char *body = arena_printf(arena,
                                    "{\"formula\":\"%s\",\"batch\":%" PRId64 ",\"at\":\"%s\"}",
                                    batch->formula, batch->number, batch->at_text);
    bool sent = post(
        local, arena, batch->path, body,
        arena_printf(arena, "demo-%s-%s-%" PRId64, batch->path, batch->formula, batch->number));
    arena_free(arena);
    return sent;
}

bool demo_batches_send(struct demo_batches *batches, instant until)
{
    while (batches->sent < batches->count && batches->items[batches->sent].at <= until)
        if (!send_batch(batches->local, &batches->items[batches->sent++])) return false;
    return true;
}

/* --- all of it --- */

static bool falls_on(const bool weekdays[8], int64_t from, int64_t to, date day, date today)
{
    return weekdays[date_weekday(day)] && today - day <= from && today - day >= to;
}

bool demo_stock_send(struct local *local, const struct demo_stock *stock, date today)
{
    for (date day = today - DAYS_MOST; day <= today; day++) {
        for (size_t i = 0; i < stock->delivery_count; i++) {
            const struct demo_delivery *of = &stock->deliveries[i];
            if (falls_on(of->weekdays, of->from, of->to, day, today) &&
                !send_delivery(local, of, day))
                return false;
        }
        for (size_t i = 0; i < stock->use_count; i++) {
            const struct demo_use *of = &stock->uses[i];
            if (falls_on(of->weekdays, of->from, of->to, day, today) &&
                !send_use(local, of, i, day))
                return false;
        }
    }
    return true;
}
