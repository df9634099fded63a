/* The command line: morrowloaf serve, migrate, token, user, demo.
 *
 * Exit codes: 0 done, 1 failed (the reason is on standard error), 2 used wrongly. Standard output
 * carries answers alone.
 */
#include "api/perform.h"
#include "base/arena.h"
#include "base/log.h"
#include "commands.h"
#include "db/migrate.h"
#include "demo.h"
#include "http/daemon.h"
#include "http/secret.h"
#include "local.h"
#include "settings.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { QUEUE_MAX = 1024, RECEIVE_SECONDS = 30 };

static const char help[] =
    "morrowloaf serve                        answers at MORROWLOAF_LISTEN until SIGINT or SIGTERM\n"
    "morrowloaf migrate                      brings the database's schema up to date\n"
    "morrowloaf token add NAME --role ROLE   makes an API token; prints it, alone on the last "
    "line\n"
    "morrowloaf user add NAME --role ROLE    makes a person who may sign in, or changes one; "
    "reads\n"
    "                                        the password from standard input\n"
    "morrowloaf user list                    prints who may sign in, and as what\n"
    "morrowloaf demo                         fills a new bakery with the demo\n"
    "\n"
    "ROLE is owner, baker or counter.\n"
    "\n"
    "MORROWLOAF_DB             connection string of the PostgreSQL database (libpq's form)\n"
    "MORROWLOAF_LISTEN         address and port; 127.0.0.1:8480 unless set\n"
    "MORROWLOAF_SHARE          folder of sql/, static/ and deploy/demo.json\n"
    "MORROWLOAF_READERS        connections that only read; 2 unless set\n"
    "MORROWLOAF_WRITERS        connections that write; 8 unless set\n"
    "MORROWLOAF_DEADLINE_MS    for one call to the database; 5000 unless set\n"
    "MORROWLOAF_SECURE_COOKIE  yes: the page is reached over HTTPS alone\n"
    "MORROWLOAF_BAKERY         number of the bakery; 1 unless set\n"
    "MORROWLOAF_LOG            quiet, error, warning or info (unless set)\n";

/* --- serve --- */

/* SIGINT and SIGTERM are blocked before any thread is made, so that all of them reach sigwait(). */
static void block_signals(sigset_t *ending)
{
    sigemptyset(ending);
    sigaddset(ending, SIGINT);
    sigaddset(ending, SIGTERM);
    signal(SIGINT, SIG_DFL); /* a shell may have started us with them ignored */
    signal(SIGTERM, SIG_DFL);
    sigprocmask(SIG_BLOCK, ending, NULL);
}

/* The address without its port, as the user gave it. */
static int address_length(const char *listen)
{
    return (int)(strrchr(listen, ':') - listen);
}

static void tidy(const struct settings *settings)
{
    struct local local;
    if (!local_open(&local, settings, "server")) return;
    api_tidy(local.worker);
    local_close(&local);
}

static int command_serve(const struct settings *settings)
{
    struct api_context context = {.conninfo = settings->conninfo,
                                  .deadline_ms = settings->deadline_ms,
                                  .secure_cookie = settings->secure_cookie,
                                  .bakery_id = settings->bakery_id};
    const struct service service = {api_routes, api_worker_open, api_perform, api_worker_close,
                                    &context};
    const struct daemon_settings daemon_settings = {.address = settings->listen,
                                                    .static_folder = settings->static_folder,
                                                    .readers = settings->readers,
                                                    .writers = settings->writers,
                                                    .queue_max = QUEUE_MAX,
                                                    .receive_s = RECEIVE_SECONDS};
    sigset_t ending;
    int received = 0;
    if (!migrate_check(settings->conninfo, settings->sql_folder)) return EXIT_FAILED;
    tidy(settings);
    block_signals(&ending);
    struct daemon *daemon = daemon_start(&daemon_settings, &service);
    if (daemon == NULL) return EXIT_FAILED;
    fprintf(stderr, "listening on http://%.*s:%d\n", address_length(settings->listen),
            settings->listen, daemon_port(daemon));
    sigwait(&ending, &received);
    log_info("stopping");
    daemon_stop(daemon);
    return EXIT_DONE;
}

static int command_migrate(const struct settings *settings)
{
    return migrate(settings->conninfo, settings->sql_folder) ? EXIT_DONE : EXIT_FAILED;
}

/* --- the table of commands --- */

static int serve_words(const struct settings *settings, int count, char *const words[])
{
    (void)words;
    return count == 0 ? command_serve(settings) : EXIT_USAGE;
}

static int migrate_words(const struct settings *settings, int count, char *const words[])
{
    (void)words;
    return count == 0 ? command_migrate(settings) : EXIT_USAGE;
}

static int demo_words(const struct settings *settings, int count, char *const words[])
{
    (void)words;
    return count == 0 ? demo_load(settings) : EXIT_USAGE;
}

static const struct command {
    const char *name;
    int (*run)(const struct settings *settings, int count, char *const words[]);
} commands[] = {
    {"serve", serve_words}, {"migrate", migrate_words}, {"token", command_token},
    {"user", command_user}, {"demo", demo_words},       {NULL, NULL},
};

static const struct command *find_command(const char *name)
{
    for (const struct command *command = commands; command->name != NULL; command++)
        if (strcmp(command->name, name) == 0) return command;
    return NULL;
}

static int run_command(struct arena *arena, const struct command *command, int count,
                       char *const words[])
{
    struct settings settings;
    const char *wrong = NULL;
    if (!settings_read(arena, getenv, &settings, &wrong)) {
        fprintf(stderr, "morrowloaf: %s\n", wrong != NULL ? wrong : "memory is short");
        return EXIT_USAGE;
    }
    if (settings.conninfo == NULL) {
        fputs("morrowloaf: MORROWLOAF_DB is not set: it says where the database is\n", stderr);
        return EXIT_USAGE;
    }
    if (!secret_init()) {
        fputs("morrowloaf: this system gives no random numbers\n", stderr);
        return EXIT_FAILED;
    }
    log_set_level(settings.log_level);
    signal(SIGPIPE, SIG_IGN);
    int code = command->run(&settings, count, words);
    if (code == EXIT_USAGE) fputs("try: morrowloaf --help\n", stderr);
    return code;
}

int main(int count, char *words[])
{
    const char *name = count > 1 ? words[1] : "";
    if (strcmp(name, "--help") == 0 || strcmp(name, "-h") == 0)
        return fputs(help, stdout) >= 0 ? EXIT_DONE : EXIT_FAILED;
    if (strcmp(name, "--version") == 0)
        return puts("morrowloaf " MORROWLOAF_VERSION) >= 0 ? EXIT_DONE : EXIT_FAILED;
    const struct command *command = find_command(name);
    if (command == NULL) {
        fputs(help, stderr);
        return EXIT_USAGE;
    }
    struct arena *arena = arena_new(0);
    int code = EXIT_FAILED;
    if (arena != NULL) code = run_command(arena, command, count - 2, words + 2);
    arena_free(arena);
    return code;
}
