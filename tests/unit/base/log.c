/* The log: one whole line per event, whatever is in it and however many threads write. */
#include "base/log.h"

#include <criterion/criterion.h>

#include <errno.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

TestSuite(log, .timeout = 20);

/* Standard error goes into a file of the test's own. */
static FILE *caught;
static int real_stderr;

static void begin(void)
{
    caught = tmpfile();
    real_stderr = dup(STDERR_FILENO);
    dup2(fileno(caught), STDERR_FILENO);
}

static void end(void)
{
    dup2(real_stderr, STDERR_FILENO);
    close(real_stderr);
    fclose(caught);
}

/* The next line without its newline; false at the end. */
static bool next_line(char *line, int size)
{
    if (fgets(line, size, caught) == NULL) return false;
    char *newline = strchr(line, '\n');
    if (newline != NULL) *newline = '\0';
    return newline != NULL;
}

Test(log, writes_time_level_and_words, .init = begin, .fini = end)
{
    char line[4096];
    log_error("the database is %s", "away");
    log_warning("%d left", 3);
    log_info("ready");
    rewind(caught);
    cr_assert(next_line(line, sizeof line));
    cr_assert_eq(line[10], 'T');
    cr_assert_str_eq(line + 19, "+00:00 error the database is away");
    cr_assert(next_line(line, sizeof line));
    cr_assert_str_eq(line + 19, "+00:00 warning 3 left");
    cr_assert(next_line(line, sizeof line));
    cr_assert_str_eq(line + 19, "+00:00 info ready");
    cr_assert_not(next_line(line, sizeof line));
}

Test(log, the_level_holds_back, .init = begin, .fini = end)
{
    char line[4096];
    log_set_level(LOG_WARNING);
    log_info("not this");
    log_warning("but this");
    log_set_level(LOG_QUIET);
    log_error("nor this");
    rewind(caught);
    cr_assert(next_line(line, sizeof line));
    cr_assert_str_eq(line + 26, "warning but this");
    cr_assert_not(next_line(line, sizeof line));
}

Test(log, words_cannot_forge_a_line, .init = begin, .fini = end)
{
    char line[4096];
    log_info("name %s", "a\nb\rc\033[2Jd\x7f");
    rewind(caught);
    cr_assert(next_line(line, sizeof line));
    cr_assert_str_eq(line + 26, "info name a b c [2Jd ");
    cr_assert_not(next_line(line, sizeof line));
}

Test(log, a_long_line_is_cut_and_says_so, .init = begin, .fini = end)
{
    char line[4096];
    char words[5000];
    memset(words, 'w', sizeof words - 1);
    words[sizeof words - 1] = '\0';
    log_info("%s", words);
    log_info("next");
    rewind(caught);
    cr_assert(next_line(line, sizeof line));
    size_t length = strlen(line);
    cr_assert_lt(length, 2100u);
    cr_assert_gt(length, 2000u);
    cr_assert_str_eq(line + length - 4, "w...");
    cr_assert(next_line(line, sizeof line));
    cr_assert_str_eq(line + 26, "info next");
}

Test(log, errno_is_told_and_kept, .init = begin, .fini = end)
{
    char line[4096];
    errno = ENOENT;
    log_error("no: %m");
    cr_assert_eq(errno, ENOENT);
    rewind(caught);
    cr_assert(next_line(line, sizeof line));
    cr_assert_str_eq(line + 26, "error no: No such file or directory");
}

enum { THREADS = 4, LINES = 500 };

static void *write_lines(void *mark)
{
    char words[201];
    memset(words, *(const char *)mark, sizeof words - 1);
    words[sizeof words - 1] = '\0';
    for (int i = 0; i < LINES; i++)
        log_info("%s", words);
    return NULL;
}

Test(log, lines_of_threads_do_not_mix, .init = begin, .fini = end)
{
    pthread_t threads[THREADS];
    char marks[THREADS] = {'a', 'b', 'c', 'd'};
    for (int i = 0; i < THREADS; i++) {
        cr_assert_eq(pthread_create(&threads[i], NULL, write_lines, &marks[i]), 0);
    }
    for (int i = 0; i < THREADS; i++)
        pthread_join(threads[i], NULL);
    rewind(caught);
    char line[4096];
    int counts[THREADS] = {0};
    while (next_line(line, sizeof line)) {
        const char *words = line + 31;
        cr_assert_eq(strlen(words), 200u, "%s", line);
        cr_assert_eq(strspn(words, (const char[]){words[0], '\0'}), 200u, "%s", line);
        counts[words[0] - 'a']++;
    }
    for (int i = 0; i < THREADS; i++)
        cr_assert_eq(counts[i], LINES);
}
