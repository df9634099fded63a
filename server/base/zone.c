/* Time zones from tzdata files (TZif, RFC 8536).
 *
 * A zone is a list of transitions in ascending order, each with the offset that holds from it on,
 * the offset before the first, and a rule for the time from the last transition on (none: the last
 * offset stays). All questions are answered from spans: stretches of time with one offset.
 *
 * The file is not trusted: every count is checked against its size before anything is read, and a
 * file that breaks the format is no zone. Files that count leap seconds ("right/...") are refused,
 * since our instants do not.
 */
#include "base/zone.h"

#include "base/arena.h"
#include "base/zone_rule.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum {
    FILE_MAX = 1024 * 1024, /* the largest real ones have about 4 kB */
    NAME_MAX_LENGTH = 100,
    HEADER_SIZE = 44,
    TYPE_SIZE = 6,
    OFFSET_MAX = 26 * 3600, /* no clock on earth is further from UTC (RFC 8536, section 3.2) */
    FOOTER_MAX = 200
};

struct zone {
    size_t count; /* of transitions */
    const instant *at;
    const int32_t *offsets; /* from at[i] on */
    int32_t first_offset;   /* before at[0] */
    bool has_rule;
    struct zone_rule rule;
};

/* --- reading the file --- */

static bool name_valid(const char *name)
{
    size_t length = strlen(name);
    if (length == 0 || length > NAME_MAX_LENGTH) return false;
    /* All names of the database begin with a capital; "posix/..." and "localtime" are no names. */
    if (name[0] < 'A' || name[0] > 'Z' || strstr(name, "//") != NULL) return false;
    return strspn(name, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+-_/") ==
           length;
}

static bool read_all(int file, unsigned char *data, size_t size)
{
    size_t done = 0;
    while (done < size) {
        ssize_t count = read(file, data + done, size - done);
        if (count < 0 && errno == EINTR) continue;
        if (count <= 0) return false;
        done += (size_t)count;
    }
    return true;
}

/* The bytes of a zone's file, in the arena; NULL when there is none. */
static const unsigned char *load_file(struct arena *arena, const char *name, size_t *size)
{
    const char *folder = getenv("TZDIR");
    if (folder == NULL || *folder == '\0') folder = "/usr/share/zoneinfo";
    const char *path = arena_printf(arena, "%s/%s", folder, name);
    if (path == NULL) return NULL;
    int file = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    if (file < 0) return NULL;

    unsigned char *data = NULL;
    struct stat status;
    if (fstat(file, &status) == 0 && S_ISREG(status.st_mode) && status.st_size <= FILE_MAX) {
        *size = (size_t)status.st_size;
        data = arena_alloc(arena, *size);
        if (data != NULL && !read_all(file, data, *size)) data = NULL;
    }
    close(file);
    return data;
}

static int64_t big_endian(const unsigned char *at, size_t bytes)
{
    uint64_t value = (at[0] & 0x80) != 0 ? UINT64_MAX : 0;
    for (size_t i = 0; i < bytes; i++)
        value = value << 8 | at[i];
    return (int64_t)value;
}

/* One data block of the file and where its parts lie. */
struct block {
    size_t isut, isstd, leaps, transitions, types, letters; /* counts, as in the header */
    size_t time_size;                                       /* bytes of an instant: 4 or 8 */
    const unsigned char *data;
    size_t size;
};

/* Reads the header at `at` and checks that its block lies within the file. */
static bool read_block(const unsigned char *at, const unsigned char *end, size_t time_size,
                       struct block *block)
{
    if (end - at < HEADER_SIZE || memcmp(at, "TZif", 4) != 0) return false;
    size_t counts[6];
    for (size_t i = 0; i < 6; i++) {
        int64_t count = big_endian(at + 20 + 4 * i, 4);
        if (count < 0 || count > FILE_MAX) return false;
        counts[i] = (size_t)count;
    }
    *block = (struct block){.isut = counts[0],
                            .isstd = counts[1],
                            .leaps = counts[2],
                            .transitions = counts[3],
                            .types = counts[4],
                            .letters = counts[5],
                            .time_size = time_size,
                            .data = at + HEADER_SIZE};
    block->size = block->transitions * (time_size + 1) + block->types * TYPE_SIZE + block->letters +
                  block->leaps * (time_size + 4) + block->isstd + block->isut;
    return block->size <= (size_t)(end - block->data);
}

static bool read_type(const struct block *block, size_t type, int32_t *offset)
{
    if (type >= block->types) return false;
    const unsigned char *types = block->data + block->transitions * (block->time_size + 1);
    *offset = (int32_t)big_endian(types + type * TYPE_SIZE, 4);
    return *offset >= -OFFSET_MAX && *offset <= OFFSET_MAX;
}

static bool read_transitions(struct arena *arena, const struct block *block, struct zone *zone)
{
    if (block->leaps != 0 || !read_type(block, 0, &zone->first_offset)) return false;
    instant *at = arena_array(arena, block->transitions, sizeof *at);
    int32_t *offsets = arena_array(arena, block->transitions, sizeof *offsets);
    if (at == NULL || offsets == NULL) return false;
    const unsigned char *types = block->data + block->transitions * block->time_size;
    for (size_t i = 0; i < block->transitions; i++) {
        at[i] = big_endian(block->data + i * block->time_size, block->time_size);
        if (i > 0 && at[i] <= at[i - 1]) return false;
        if (!read_type(block, types[i], &offsets[i])) return false;
    }
    zone->count = block->transitions;
    zone->at = at;
    zone->offsets = offsets;
    return true;
}

/* The footer is a line of its own behind the second block; an empty line means no rule. */
static bool read_footer(const unsigned char *at, const unsigned char *end, struct zone *zone)
{
    if (at == end || *at != '\n') return false;
    const unsigned char *line = at + 1;
    const unsigned char *newline = memchr(line, '\n', (size_t)(end - line));
    if (newline == NULL || newline - line >= FOOTER_MAX) return false;
    char text[FOOTER_MAX];
    size_t length = (size_t)(newline - line);
    memcpy(text, line, length);
    text[length] = '\0';
    zone->has_rule = length > 0;
    return !zone->has_rule || zone_rule_parse(text, &zone->rule);
}

/* Version 1 has one block of 32-bit instants; later versions repeat it with 64 bits, and only that
 * second block and the footer count. */
static bool read_zone(struct arena *arena, const unsigned char *data, size_t size,
                      struct zone *zone)
{
    const unsigned char *end = data + size;
    struct block block;
    if (!read_block(data, end, 4, &block)) return false;
    if (data[4] == '\0') return read_transitions(arena, &block, zone);
    if (data[4] < '2') return false;
    return read_block(block.data + block.size, end, 8, &block) &&
           read_transitions(arena, &block, zone) && read_footer(block.data + block.size, end, zone);
}

const struct zone *zone_load(struct arena *arena, const char *name)
{
    if (name == NULL || !name_valid(name)) return NULL;
    size_t size = 0;
    const unsigned char *data = load_file(arena, name, &size);
    struct zone *zone = data == NULL ? NULL : arena_alloc(arena, sizeof *zone);
    if (zone == NULL || !read_zone(arena, data, size, zone)) return NULL;
    return zone;
}

const struct zone *zone_fixed(struct arena *arena, int32_t offset)
{
    struct zone *zone = arena_alloc(arena, sizeof *zone);
    if (zone != NULL) zone->first_offset = offset;
    return zone;
}

/* --- asking --- */

/* How many transitions are at or before this instant. */
static size_t transitions_until(const struct zone *zone, instant at)
{
    size_t low = 0, high = zone->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (zone->at[middle] <= at) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

static struct zone_span span_at(const struct zone *zone, instant at)
{
    size_t passed = transitions_until(zone, at);
    struct zone_span span = {.begin = passed == 0 ? INT64_MIN : zone->at[passed - 1],
                             .end = passed == zone->count ? INT64_MAX : zone->at[passed],
                             .offset = passed == 0 ? zone->first_offset
                                                   : zone->offsets[passed - 1]};
    if (passed < zone->count || !zone->has_rule) return span;

    struct zone_span by_rule = zone_rule_span(&zone->rule, at);
    if (by_rule.begin < span.begin) by_rule.begin = span.begin;
    return by_rule;
}

int32_t zone_offset(const struct zone *zone, instant at)
{
    return span_at(zone, at).offset;
}

/* Walks over the spans in which the wall clock might show that time. The first span that contains
 * it is the answer; when it is already past at the beginning of a span, the clock skipped it. */
instant zone_instant(const struct zone *zone, date day, int minutes)
{
    instant wall = (instant)day * SECONDS_PER_DAY + (instant)minutes * 60;
    struct zone_span span = span_at(zone, wall - OFFSET_MAX);
    int32_t offset_before = span.offset;
    for (;;) {
        instant at = wall - span.offset;
        if (at < span.begin) return wall - offset_before;
        if (at < span.end) return at;
        offset_before = span.offset;
        span = span_at(zone, span.end);
    }
}

void zone_wall(const struct zone *zone, instant at, date *day, int *minutes)
{
    instant local = at + zone_offset(zone, at);
    instant second_of_day = local % SECONDS_PER_DAY;
    if (second_of_day < 0) second_of_day += SECONDS_PER_DAY;
    *day = (date)((local - second_of_day) / SECONDS_PER_DAY);
    *minutes = (int)(second_of_day / 60);
}
