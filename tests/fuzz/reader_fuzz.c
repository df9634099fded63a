/* Feeds arbitrary bytes to the JSON reader as the body of an order and of a formula line.
 *
 * Whatever comes in: no crash, no leak, no undefined behaviour, and the reader either has read
 * everything or has a fault on its list, each with a pointer that begins with "/" or is empty.
 */
#include "base/arena.h"
#include "base/fail.h"
#include "json/reader.h"

#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

static void must(bool holds)
{
    if (!holds) abort();
}

static void read_line(struct json_node item)
{
    struct json_object line;
    json_object_open(&line, item);
    const char *product = json_code(&line, "product", JSON_REQUIRED);
    int64_t pieces = json_whole(&line, "pieces", JSON_REQUIRED, 1, 1000000, 7);
    int64_t pct = json_decimal(&line, "pct", JSON_OPTIONAL, 4, 0, INT64_MAX, -1);
    int64_t price = json_money(&line, "price", JSON_OPTIONAL, 0, INT64_MAX, -1);
    bool clean = json_object_close(&line);
    must(pieces >= 1 && pieces <= 1000000);
    must(pct >= -1 && price >= -1);
    must(!clean || product != NULL);
    must(product == NULL || (strlen(product) >= 1 && strlen(product) <= 63));
}

static bool read_order(struct json_node root)
{
    struct json_object order;
    struct json_list lines;
    struct json_node item;
    date day = 0;
    int ready_at = NO_CLOCK;
    json_object_open(&order, root);
    const char *customer = json_code(&order, "customer", JSON_REQUIRED);
    bool dated = json_date(&order, "date", JSON_REQUIRED, &day);
    json_clock(&order, "ready_at", JSON_OPTIONAL, &ready_at);
    json_list_member(&order, "lines", JSON_REQUIRED, 1, 100, &lines);
    while (json_list_next(&lines, &item))
        read_line(item);
    const char *note = json_text(&order, "note", JSON_OPTIONAL, NOTE_MAX_CHARACTERS);
    bool clean = json_object_close(&order);
    must(!clean || (customer != NULL && dated));
    must(ready_at >= NO_CLOCK && ready_at < MINUTES_PER_DAY);
    must(note == NULL || strlen(note) <= 4 * NOTE_MAX_CHARACTERS);
    return clean;
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    struct arena *arena = arena_new(0);
    struct fails fails;
    struct json_node root;
    must(arena != NULL);
    fails_init(&fails, arena);
    bool clean = json_parse(arena, &fails, (const char *)bytes, length, &root) && read_order(root);
    must(clean == !fails_any(&fails));
    for (size_t i = 0; i < fails.count; i++) {
        must(fails.items[i].path[0] == '\0' || fails.items[i].path[0] == '/');
        must(fails.items[i].text != NULL && fails.items[i].text[0] != '\0');
    }
    arena_free(arena);
    return 0;
}
