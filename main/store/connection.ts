/** The one way in which this program opens a database file: what is taken away is overwritten, whoever opened it. */
import BetterSqlite from 'better-sqlite3';

/** A connection on which `secure_delete` is on, so that nothing deleted can be read out of the file afterwards. */
export function connectTo(path: string, options?: BetterSqlite.Options): BetterSqlite.Database {
  const connection = new BetterSqlite(path, options);
  try {
    connection.pragma('secure_delete = ON');
    return connection;
  } catch (caught) {
    connection.close();
    throw caught;
  }
}
