/* TZif files made by hand: versions, footers, and every way in which a file can be broken. */
#include "base/arena.h"
#include "base/zone.h"

#include <criterion/criterion.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

TestSuite(zone_file, .timeout = 60);

/* A file under construction. */
struct file {
    unsigned char bytes[2048];
    size_t length;
};

static char folder[64];
static struct arena *arena;

static void begin(void)
{
    strcpy(folder, "/tmp/zone_file_XXXXXX");
    cr_assert_not_null(mkdtemp(folder));
    setenv("TZDIR", folder, 1);
    arena = arena_new(0);
}

static void end(void)
{
    char path[128];
    snprintf(path, sizeof path, "%s/Test", folder);
    unlink(path);
    rmdir(folder);
    arena_free(arena);
}

static void put(struct file *file, int64_t value, size_t size)
{
    for (size_t i = size; i-- > 0;) {
        file->bytes[file->length++] = (unsigned char)((uint64_t)value >> (8 * i));
    }
}

static void put_text(struct file *file, const char *text)
{
    size_t length = strlen(text);
    memcpy(file->bytes + file->length, text, length);
    file->length += length;
}

/* A block of two types (0 and 3600 seconds) and two transitions, at `first` and 1000 seconds later,
 * to the second type and back. */
static void put_block(struct file *file, char version, size_t time_size, int64_t first)
{
    put_text(file, "TZif");
    put(file, version, 1);
    for (int i = 0; i < 15; i++)
        put(file, 0, 1);
    static const int counts[6] = {0, 0, 0, 2, 2, 8}; /* ut, std, leap, times, types, letters */
    for (int i = 0; i < 6; i++)
        put(file, counts[i], 4);
    put(file, first, time_size);
    put(file, first + 1000, time_size);
    put(file, 1, 1);
    put(file, 0, 1);
    put(file, 0, 4);
    put(file, 0, 2);
    put(file, 3600, 4);
    put(file, 0x0104, 2);
    for (int i = 0; i < 8; i++)
        put(file, i % 4 == 3 ? 0 : 'A', 1);
}

/* Where the parts of a good file lie. */
enum {
    BLOCK_1 = 44 + 2 * 5 + 2 * 6 + 8, /* the length of the first block with its header */
    TIMES = BLOCK_1 + 44,             /* where the parts of the second lie */
    INDEXES = TIMES + 16,
    TYPES = INDEXES + 2,
    END = TYPES + 12 + 8
};

/* The first block has other transitions, so that it shows when it is read by mistake. */
static struct file good_file(const char *footer)
{
    struct file file = {.length = 0};
    put_block(&file, '2', 4, -500000);
    put_block(&file, '2', 8, INT64_C(10000000000));
    put_text(&file, "\n");
    put_text(&file, footer);
    put_text(&file, "\n");
    return file;
}

static const struct zone *load(const struct file *file)
{
    char path[128];
    snprintf(path, sizeof path, "%s/Test", folder);
    FILE *out = fopen(path, "wb");
    cr_assert_not_null(out);
    cr_assert_eq(fwrite(file->bytes, 1, file->length, out), file->length);
    cr_assert_eq(fclose(out), 0);
    return zone_load(arena, "Test");
}

Test(zone_file, later_versions_use_the_second_block_and_the_footer, .init = begin, .fini = end)
{
    struct file file = good_file("AAA0BBB,M3.5.0/1,M10.5.0");
    const struct zone *zone = load(&file);
    cr_assert_not_null(zone);
    cr_assert_eq(zone_offset(zone, -500000), 0);
    cr_assert_eq(zone_offset(zone, INT64_C(9999999999)), 0);
    cr_assert_eq(zone_offset(zone, INT64_C(10000000000)), 3600);
    cr_assert_eq(zone_offset(zone, INT64_C(10000000999)), 3600);
    /* From the last transition on (November 2286) by the footer: winter, then summer. */
    cr_assert_eq(zone_offset(zone, INT64_C(10000001000)), 0);
    cr_assert_eq(zone_offset(zone, (instant)date_from_civil(2287, 7, 1) * SECONDS_PER_DAY), 3600);
}

Test(zone_file, an_empty_footer_leaves_the_last_offset, .init = begin, .fini = end)
{
    struct file file = good_file("");
    const struct zone *zone = load(&file);
    cr_assert_not_null(zone);
    cr_assert_eq(zone_offset(zone, INT64_C(10000000500)), 3600);
    cr_assert_eq(zone_offset(zone, INT64_C(10000001000)), 0);
    cr_assert_eq(zone_offset(zone, (instant)date_from_civil(2287, 7, 1) * SECONDS_PER_DAY), 0);
    cr_assert_eq(zone_instant(zone, date_from_civil(2287, 7, 1), 60),
                 (instant)date_from_civil(2287, 7, 1) * SECONDS_PER_DAY + 3600);
}

Test(zone_file, version_1_has_one_block, .init = begin, .fini = end)
{
    struct file file = {.length = 0};
    put_block(&file, '\0', 4, -500000);
    const struct zone *zone = load(&file);
    cr_assert_not_null(zone);
    cr_assert_eq(zone_offset(zone, -500001), 0);
    cr_assert_eq(zone_offset(zone, -500000), 3600);
    cr_assert_eq(zone_offset(zone, -499000), 0);
    cr_assert_eq(zone_offset(zone, INT64_C(10000000500)), 0);
}

Test(zone_file, two_changes_in_one_evening_skip_and_repeat_exactly, .init = begin, .fini = end)
{
    /* An hour forward at 00:00:00 UTC and back 1000 seconds later. */
    struct file file = {.length = 0};
    put_block(&file, '\0', 4, 0);
    const struct zone *zone = load(&file);
    cr_assert_not_null(zone);
    cr_assert_eq(zone_instant(zone, -1, MINUTES_PER_DAY - 1), -60);
    cr_assert_eq(zone_instant(zone, 0, 70), 600, "shown by the first change only");
    cr_assert_eq(zone_instant(zone, 0, 80), 4800,
                 "01:20 was not reached before the clock went back");
}

/* The rule alone would have it that the new offset always was: the last transition bounds it. */
Test(zone_file, a_gap_at_the_last_transition_counts, .init = begin, .fini = end)
{
    struct file file = good_file("BBB-1");
    file.bytes[INDEXES] = 0;
    file.bytes[INDEXES + 1] = 1;
    const struct zone *zone = load(&file);
    cr_assert_not_null(zone);
    instant change = INT64_C(10000001000); /* 2286-11-20T18:03:20Z, to 19:03:20 */
    cr_assert_eq(zone_offset(zone, change - 1), 0);
    cr_assert_eq(zone_offset(zone, change), 3600);
    date day = (date)(change / SECONDS_PER_DAY);
    instant midnight = (instant)day * SECONDS_PER_DAY;
    cr_assert_eq(zone_instant(zone, day, 18 * 60 + 3), midnight + (18 * 60 + 3) * 60);
    cr_assert_eq(zone_instant(zone, day, 18 * 60 + 30), midnight + (18 * 60 + 30) * 60, "skipped");
    cr_assert_eq(zone_instant(zone, day, 19 * 60 + 4), midnight + (18 * 60 + 4) * 60);
}

/* A whole and correct file, but with a leap second: its instants are not ours. */
Test(zone_file, refuses_leap_seconds, .init = begin, .fini = end)
{
    struct file file = good_file("AAA0");
    size_t footer = file.length - END;
    memmove(file.bytes + END + 12, file.bytes + END, footer);
    memset(file.bytes + END, 0, 12);
    file.length += 12;
    cr_assert_null(load(&file));
    file.bytes[BLOCK_1 + 31] = 1; /* the count of leap seconds */
    cr_assert_null(load(&file));
}

/* Loads the good file with one stretch of bytes changed. */
static const struct zone *load_changed(size_t at, const char *bytes, size_t length)
{
    struct file file = good_file("AAA0");
    memcpy(file.bytes + at, bytes, length);
    return load(&file);
}

Test(zone_file, refuses_broken_files, .init = begin, .fini = end)
{
    cr_assert_not_null(load_changed(0, "TZif2", 5), "unchanged it is good");
    cr_assert_null(load_changed(0, "XZif", 4), "another kind of file");
    cr_assert_null(load_changed(4, "1", 1), "no such version");
    cr_assert_null(load_changed(BLOCK_1, "XZif", 4), "no second block");
    cr_assert_null(load_changed(32, "\x7f\xff\xff\xff", 4), "transitions beyond the file");
    cr_assert_null(load_changed(32, "\xff\xff\xff\xff", 4), "fewer than none");
    cr_assert_null(load_changed(BLOCK_1 + 36, "\0\0\0\0", 4), "no types");
    cr_assert_null(load_changed(BLOCK_1 + 28, "\0\0\0\1", 4), "leap seconds");
    cr_assert_null(load_changed(INDEXES, "\2", 1), "a type that is not there");
    cr_assert_null(load_changed(TIMES, "\x7f", 1), "transitions out of order");
    cr_assert_null(load_changed(TYPES, "\x7f\xff\xff\xff", 4), "an offset of years");
    cr_assert_null(load_changed(END, "A", 1), "no footer");
    cr_assert_null(load_changed(END + 1, "A\n", 2), "a footer that is no rule");
    cr_assert_null(load_changed(END + 1, "\0", 1), "a NUL in the footer");
    cr_assert_null(load_changed(END + 5, "A", 1), "a footer without end");
}

Test(zone_file, refuses_every_shortened_file, .init = begin, .fini = end)
{
    struct file file = good_file("AAA0");
    size_t whole = file.length;
    for (size_t length = 0; length < whole; length++) {
        file.length = length;
        cr_assert_null(load(&file), "%zu of %zu bytes", length, whole);
    }
    file.length = whole;
    cr_assert_not_null(load(&file));
}

/* Whatever byte is changed, the answer is a zone or none; the sanitizers watch over the reading. */
Test(zone_file, any_changed_byte_is_survived, .init = begin, .fini = end)
{
    static const unsigned char values[] = {0x00, 0x01, 0x7f, 0x80, 0xff};
    struct file file = good_file("AAA0BBB,M3.5.0/1,M10.5.0");
    int zones = 0, refused = 0;
    for (size_t at = 0; at < file.length; at++) {
        for (size_t i = 0; i < sizeof values; i++) {
            struct file changed = file;
            changed.bytes[at] = values[i];
            const struct zone *zone = load(&changed);
            if (zone == NULL) {
                refused++;
                continue;
            }
            zones++;
            cr_assert_lt(abs(zone_offset(zone, INT64_C(4000000000))), 27 * 3600);
            zone_instant(zone, date_from_civil(2030, 6, 1), 60);
        }
    }
    cr_assert_gt(zones, 100);
    cr_assert_gt(refused, 100);
}
